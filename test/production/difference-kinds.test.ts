import { SteppableClock } from '../../src/platform/clock.js';
import type { DifferenceAnswer } from '../../src/production/corrections/differences/difference.dto.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { differencesOn, lines } from './difference-world.js';

type Json = Record<string, unknown>;

let service: TestService;
let floor: Floor;
const clock = new SteppableClock(new Date('2026-03-28T08:00:00Z'));
beforeAll(async () => {
  service = await TestService.start({ clock });
  floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
});
afterAll(() => service.stop());
afterEach(async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});

const { charge, certify, pack, differ, holding } = differencesOn(() => floor);

const L = (value: number): Json => ({ value, unit: 'L' });
const transfer = (
  lotId: string,
  fromVesselId: string,
  toVesselId: string,
  volume: number,
  more: Json = {},
): Promise<Json> =>
  floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId,
    toVesselId,
    volume: L(volume),
    occurredAt: '2026-03-16T09:00:00Z',
    ...more,
  });
const release = (packagedLotId: unknown, count: number): Promise<Json> =>
  floor.post('/v1/movements', { kind: 'release', packagedLotId, count, occurredAt: '2026-03-18T09:00:00Z' });
/** 100 L in a vessel, at a strength of record. */
async function lotAt(vessel: string, percent: number): Promise<string> {
  const lotId = await floor.lot();
  await charge(lotId, vessel);
  await certify(lotId, percent);
  return lotId;
}
/** All litres of an answer, and all alcohol of each kind, add to nothing. */
function expectBalanced(done: DifferenceAnswer): void {
  const postings = done.operations.flatMap((each) => each.postings);
  for (const measure of ['litres', 'fermented', 'added'] as const) {
    expect(postings.reduce((sum, each) => sum + each[measure].value, 0)).toBeCloseTo(0, 8);
  }
}

test('a wrong count of a run that emptied the vessel: out of its loss, and once more out of what the count is now', async () => {
  // 190 bottles of 0.5 L from 100 L at 5 %: 5 L were lost. They were 193: 1.5 L with 0.075 L. 20 were released by then.
  const vessel = await floor.vessel('A');
  const lotId = await lotAt(vessel, 5);
  const packed = await pack(lotId, vessel, 190);
  await release(packed.packagedLotId, 20);
  const rows = await service.rowCounts();
  const preview = await differ(packed.operationId, { count: 193 }, { preview: true }, 200);
  expect(await service.rowCounts()).toEqual(rows);
  const done = await differ(packed.operationId, { count: 193 });
  expect(lines(done)).toEqual({ packaged: [1.5, 0.075, 0], 'packaging-loss/sugar-ferment': [-1.5, -0.075, 0] });
  expect(lines(preview)).toEqual(lines(done));
  expect(done.inStock).toMatchObject([{ packagedLotId: packed.packagedLotId, volume: { value: 1.5 } }]);
  expect(await holding(packed.packagedLotId)).toEqual([86.5, 4.325, 0]);
  const path = `/v1/packaged-lots/${String(packed.packagedLotId)}`;
  expect(await floor.get(path)).toMatchObject({ count: 193 });
  const again = await differ(packed.operationId, { count: 192 });
  expect(lines(again)).toEqual({ packaged: [-0.5, -0.025, 0], 'packaging-loss/sugar-ferment': [0.5, 0.025, 0] });
  expect(await floor.get(path)).toMatchObject({ count: 192 });
  const same = await differ(packed.operationId, { count: 192 }, {}, 422);
  expect(same).toMatchObject({ errors: [{ rule: 'no-change' }] });
  // Ten litres more than were ever lost; and fewer than have been released.
  expect(await differ(packed.operationId, { count: 201 }, {}, 422)).toMatchObject({
    errors: [{ rule: 'more-than-drawn' }],
  });
  expect(await differ(packed.operationId, { count: 19 }, {}, 409)).toMatchObject({ code: 'insufficient-stock' });
  await floor.post(`/v1/operations/${again.operations[0].operationId}/reversal`, { reasonCode: 'did-not-happen' });
  expect(await floor.get(path)).toMatchObject({ count: 193 });
});

test('a wrong count of a run that left something: the vessel had less, and what went on from it', async () => {
  // 50 L of 100 L packed, filled 0.51 L in the mean: 49 L stay, 19.6 L go on. They were 104: 2.04 L less, 2 L more in containers.
  const [first, second] = await Promise.all(['B1', 'B2'].map((name) => floor.vessel(name)));
  const lotId = await lotAt(first, 5);
  const packed = await pack(lotId, first, 100, { emptied: false, meanFill: { value: 510, unit: 'mL' }, loss: L(0) });
  await transfer(lotId, first, second, 19.6);
  const done = await differ(packed.operationId, { count: 104 });
  expectBalanced(done);
  expect(lines(done)).toEqual({
    packaged: [2, 0.1, 0],
    liquid: [-2.04, -0.102, 0],
    'fill-difference/sugar-ferment': [0.04, 0.002, 0],
  });
  // By litres: 29.4 of 49 in the first, 19.6 in the second.
  expect(await holding(first)).toEqual([28.176, 1.4088, 0]);
  expect(await holding(second)).toEqual([18.784, 0.9392, 0]);
});

test('a wrong loss of a transfer: what was not lost came over, before and after the finish', async () => {
  const [first, second] = await Promise.all(['C1', 'C2'].map((name) => floor.vessel(name)));
  const lotId = await lotAt(first, 5);
  const moved = await transfer(lotId, first, second, 60, { loss: L(3) });
  const done = await differ(moved.operationId, { loss: L(1) });
  expect(lines(done)).toEqual({ liquid: [2, 0.1, 0], 'process-loss/sugar-ferment': [-2, -0.1, 0] });
  expect(await holding(second)).toEqual([59, 2.95, 0]);
  expect(lines(await differ(moved.operationId, { loss: L(1.5) }))).toMatchObject({ liquid: [-0.5, -0.025, 0] });

  // In process no litre had alcohol yet: the finish found it in what came over, and produces it.
  const [third, fourth] = await Promise.all(['C3', 'C4'].map((name) => floor.vessel(name)));
  const young = await floor.lot();
  await charge(young, third);
  const early = await transfer(young, third, fourth, 60, { loss: L(3), occurredAt: '2026-03-05T09:00:00Z' });
  await certify(young, 5);
  const late = await differ(early.operationId, { loss: L(1) });
  expectBalanced(late);
  expect(lines(late)).toEqual({
    liquid: [2, 0.1, 0],
    'process-loss/sugar-ferment': [-2, 0, 0],
    'production-in-process/sugar-ferment': [2, 0, 0],
    'produced/sugar-ferment': [-2, -0.1, 0],
  });
  expect(await differ(early.operationId, { loss: L(61) }, {}, 422)).toMatchObject({
    errors: [{ rule: 'more-than-drawn' }],
  });
});

test('where all that came over was lost, what it was diluted with is water', async () => {
  for (const [index, litres] of [3.7, 2.3, 5.9].entries()) {
    const [from, to] = await Promise.all(['from', 'to'].map((name) => floor.vessel(`${name} ${index}`)));
    const lotId = await lotAt(from, 11.8236);
    const moved = await transfer(lotId, from, to, litres, { loss: L(0) });
    const dilution = { vesselId: to, water: L(2.608), occurredAt: '2026-03-17T09:00:00Z' };
    await floor.post(`/v1/lots/${lotId}/dilutions`, dilution);
    const done = await differ(moved.operationId, { loss: L(litres) });
    expectBalanced(done);
    expect(Math.abs(done.findings[0].strength.value)).toBeLessThan(1e-9);
    const [left, fermented] = await holding(to);
    expect([Math.abs(left - 2.608) < 0.1, fermented]).toEqual([true, 0]);
  }
  // And where it went on to another lot, nothing is left that could have a strength.
  const [from, to, on] = await Promise.all(['from', 'to', 'on'].map((name) => floor.vessel(`${name} a lot`)));
  const lotId = await lotAt(from, 11.8236);
  const moved = await transfer(lotId, from, to, 3.7, { loss: L(0) });
  const split = { fromVesselId: to, toVesselId: on, newLotId: await floor.lot(), occurredAt: '2026-03-17T09:00:00Z' };
  await floor.post(`/v1/lots/${lotId}/splits`, split);
  expect((await differ(moved.operationId, { loss: L(3.7) })).findings).toEqual([]);
  expect(await holding(on)).toEqual([]);
});

test('wrong water of a dilution: more of it at another strength, with the same alcohol', async () => {
  // 100 L at 8 % with 60 L of water that were 64 L; 40 L of it were packed, and 10 L of those released.
  const vessel = await floor.vessel('D');
  const lotId = await lotAt(vessel, 8);
  const diluted = (await floor.post(`/v1/lots/${lotId}/dilutions`, {
    vesselId: vessel,
    water: L(60),
    occurredAt: '2026-03-11T09:00:00Z',
  })) as Json & { volume: { value: number }; strength: { value: number } };
  const whole = await differ(diluted.operationId, { volume: L(64) }, { preview: true }, 200);
  expectBalanced(whole);
  // Nothing has left: the alcohol is all there, whatever it is spread over.
  expect(lines(whole).liquid[1]).toBeCloseTo(0, 6);
  const packed = await pack(lotId, vessel, 80, { emptied: false, loss: L(0) });
  await release(packed.packagedLotId, 20);
  const [litresBefore] = await holding(vessel);
  const done = await differ(diluted.operationId, { volume: L(64) });
  expectBalanced(done);
  const plain = await floor.post(
    '/v1/calculations/dilution',
    {
      strength: { value: 8, unit: '%' },
      targetStrength: { value: Number(done.findings[0].strength.value.toFixed(9)), unit: '%' },
      volume: L(100),
    },
    200,
  );
  expect((plain.waterVolume as { value: number }).value).toBeCloseTo(64, 3);
  expect(done.findings).toMatchObject([{ restates: diluted.findingId, compositionId: diluted.compositionId }]);
  const strength = done.findings[0].strength.value;
  const [litres, fermented] = await holding(vessel);
  // A quarter was packed, in containers that hold what was counted: a quarter of the 4 L went with the run's loss.
  const [lost, lostAlcohol] = lines(done)['packaging-loss/sugar-ferment'];
  expect([litres - litresBefore, lost].map((each) => Math.round(each * 10) / 10)).toEqual([3, 1]);
  expect((100 * fermented) / litres).toBeCloseTo(strength, 4);
  const [packedLitres, packedAlcohol] = await holding(packed.packagedLotId);
  expect(packedLitres).toBe(30);
  expect((100 * packedAlcohol) / packedLitres).toBeCloseTo(strength, 4);
  // 10 L were released with less alcohol than the books gave them: it is still there.
  expect(done.outflows).toMatchObject([{ kind: 'released', volume: { value: 10 } }]);
  expect(fermented + packedAlcohol + lostAlcohol + (10 * strength) / 100).toBeCloseTo(8, 4);
  const back = await differ(diluted.operationId, { volume: L(60) });
  expect((await holding(vessel))[0]).toBeCloseTo(litresBefore, 6);
  expect(back.findings[0].strength.value).toBeCloseTo(diluted.strength.value, 6);
});

test('a wrong volume of spirit added: out of its store, into the mixture', async () => {
  const vessel = await floor.vessel('E');
  const lotId = await lotAt(vessel, 5);
  const material = await floor.post('/v1/materials', { name: 'Spirit E', kind: 'spirit' });
  const spirit = await floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code: 'E-1',
    volume: L(10),
    strength: { value: 96, unit: '%' },
    occurredAt: '2026-03-01T09:00:00Z',
  });
  const added = await floor.post(`/v1/lots/${lotId}/additions`, {
    vesselId: vessel,
    purpose: 'flavouring',
    materialLotId: spirit.id,
    volume: L(2),
    occurredAt: '2026-03-11T09:00:00Z',
  });
  const done = await differ(added.operationId, { volume: L(2.5) });
  expectBalanced(done);
  const posted = lines(done);
  expect(posted.material).toEqual([-0.5, 0, -0.48]);
  expect(posted['used-as-material/materials']).toEqual([0.5, 0, 0.48]);
  expect(posted['used-as-material/sugar-ferment']).toEqual([-0.5, 0, -0.48]);
  expect(posted.liquid[1] + posted.liquid[2]).toBeCloseTo(0.48, 5);
  const [litres, fermented, addedLpa] = await holding(vessel);
  expect(fermented + addedLpa).toBeCloseTo(5 + 2.4, 5);
  expect(done.findings[0].strength.value).toBeCloseTo((100 * (fermented + addedLpa)) / litres, 4);
  expect(await holding(spirit.id)).toEqual([7.5, 0, 7.2]);
  const fining = await floor.post('/v1/materials', { name: 'Bentonite', kind: 'fining' });
  const fined = await floor.post('/v1/material-lots', {
    materialId: fining.id,
    premisesId: floor.premisesId,
    code: 'F-1',
    mass: { value: 1, unit: 'kg' },
    occurredAt: '2026-03-01T09:00:00Z',
  });
  const solid = await floor.post(`/v1/lots/${lotId}/additions`, {
    vesselId: vessel,
    purpose: 'fining',
    materialLotId: fined.id,
    mass: { value: 5, unit: 'g' },
    occurredAt: '2026-03-12T09:00:00Z',
  });
  expect(await differ(solid.operationId, { volume: L(1) }, {}, 422)).toMatchObject({ code: 'not-computable' });
});

test('what an opening states is put right, thing by thing', async () => {
  const hill = String((await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' })).id);
  await floor.post('/v1/periods', { premisesId: hill, startsOn: '2026-03-01', endsBefore: '2026-04-01' });
  const vesselId = await floor.vessel('H1', 'tank', hill);
  const lot = (await floor.post('/v1/lots', { premisesId: hill, category: 'cider' })).id;
  const opened = (await floor.post('/v1/openings', {
    premisesId: hill,
    occurredAt: '2026-03-01T08:00:00Z',
    liquids: [{ lotId: lot, vesselId, volume: L(100), strength: { value: 5, unit: '%' } }],
    packaged: [
      {
        lotId: lot,
        container: 'bottle',
        nominalVolume: L(0.5),
        count: 40,
        lotMark: 'O-1',
        declaredStrength: { value: 5, unit: '%' },
        packagedOn: '2026-02-20',
      },
    ],
  })) as Json & { compositionIds: string[]; packagedLotIds: string[] };
  const [liquid] = opened.compositionIds;
  const [bottles] = opened.packagedLotIds;
  await floor.post('/v1/movements', {
    kind: 'sample',
    lotId: lot,
    vesselId,
    volume: L(10),
    occurredAt: '2026-03-05T09:00:00Z',
  });
  await release(bottles, 10);
  const volume = await differ(opened.operationId, { compositionId: liquid, volume: L(104) });
  expect(lines(volume)).toEqual({ liquid: [4, 0.2, 0], 'opening/cider': [-4, -0.2, 0] });
  const further = await differ(opened.operationId, { compositionId: liquid, volume: L(106) });
  expect(lines(further)).toEqual({ liquid: [2, 0.1, 0], 'opening/cider': [-2, -0.1, 0] });
  await differ(opened.operationId, { compositionId: liquid, volume: L(104) });
  const count = await differ(opened.operationId, { packagedLotId: bottles, count: 42 });
  expect(lines(count)).toEqual({ packaged: [1, 0.05, 0], 'opening/cider': [-1, -0.05, 0] });
  expect(await floor.get(`/v1/packaged-lots/${bottles}`)).toMatchObject({ count: 42 });
  const strength = await differ(opened.operationId, { compositionId: liquid, strength: { value: 5.5, unit: '%' } });
  // Of 104 L 10 left as a sample: 94 L with 0.47 L more.
  expect(lines(strength)).toEqual({ liquid: [0, 0.47, 0], 'opening/cider': [0, -0.47, 0] });
  expect(strength.outflows).toMatchObject([{ kind: 'samples', volume: { value: 10 }, pureAlcohol: { value: 0.05 } }]);
  expect(await holding(vesselId)).toEqual([94, 5.17, 0]);
  // What it is found to be is what was put right, and more of it has that strength.
  expect(strength.findings).toMatchObject([{ compositionId: liquid, strength: { value: 5.5 } }]);
  const more = await differ(opened.operationId, { compositionId: liquid, volume: L(114) });
  expect(lines(more)).toEqual({ liquid: [10, 0.55, 0], 'opening/cider': [-10, -0.55, 0] });
  const label = await differ(opened.operationId, { packagedLotId: bottles, strength: { value: 6, unit: '%' } });
  expect(label.findings).toMatchObject([{ strength: { value: 6 } }]);
  // A laboratory's value counts from then on: what was stated says nothing any more.
  await floor.post(`/v1/lots/${String(lot)}/findings`, {
    method: 'certificate',
    standing: 'of-record',
    compositionId: liquid,
    certificate: {
      strength: { value: 5.2, unit: '%' },
      expandedUncertainty: { value: 0.1, unit: '%' },
      coverageFactor: 2,
    },
  });
  expect(await holding(vesselId)).toEqual([104, 5.408, 0]);
  const before = await service.rowCounts();
  for (const [correct, status, rule] of [
    [{ compositionId: liquid, strength: { value: 5.4, unit: '%' } }, 422, 'measured-since'],
    [{ volume: L(1) }, 400, 'of-an-opening'],
    [{ packagedLotId: bottles, volume: L(1) }, 422, 'count-only'],
    [{ compositionId: liquid, count: 3 }, 422, 'volume-only'],
    [{ compositionId: String(lot), count: 3 }, 404, 'not-found'],
    [{ compositionId: liquid, packagedLotId: bottles, count: 3 }, 400, 'one-of-two'],
    [{ compositionId: liquid, loss: L(1) }, 422, 'volume-or-strength-or-count-only'],
  ] as const) {
    expect(await differ(opened.operationId, correct, {}, status)).toMatchObject({ errors: [{ rule }] });
  }
  expect(await service.rowCounts()).toEqual(before);
});

test('what was wrong in a closed period is put right on its line, for each kind', async () => {
  const [first, second, third] = await Promise.all(['I1', 'I2', 'I3'].map((name) => floor.vessel(name)));
  const lotId = await lotAt(first, 5);
  const moved = await transfer(lotId, first, second, 60, { loss: L(3) });
  const packed = await pack(lotId, first, 60, { occurredAt: '2026-03-17T09:00:00Z' });
  const strong = await lotAt(third, 8);
  const diluted = await floor.post(`/v1/lots/${strong}/dilutions`, {
    vesselId: third,
    water: L(60),
    occurredAt: '2026-03-11T09:00:00Z',
  });
  clock.set(new Date('2026-04-02T08:00:00Z'));
  const { items } = (await floor.get(`/v1/periods?premisesId=${floor.premisesId}`)) as {
    items: { id: string; startsOn: string }[];
  };
  const closed = items.find(({ startsOn }) => startsOn === '2026-03-01')?.id;
  await floor.post(`/v1/periods/${String(closed)}/closing`, {});
  const loss = await differ(moved.operationId, { loss: L(1) });
  expect(loss.earlierPeriodId).toBe(closed);
  expect(lines(loss)).toEqual({ liquid: [2, 0.1, 0], 'earlier-period/sugar-ferment': [-2, -0.1, 0] });
  const count = await differ(packed.operationId, { count: 62 });
  expect(lines(count)).toEqual({ packaged: [1, 0.05, 0], 'earlier-period/sugar-ferment': [-1, -0.05, 0] });
  const water = await differ(diluted.operationId, { volume: L(64) });
  expectBalanced(water);
  expect(Object.keys(lines(water)).sort()).toEqual(['earlier-period/sugar-ferment', 'liquid']);
  clock.set(new Date('2026-05-02T08:00:00Z'));
  const april = items.find(({ startsOn }) => startsOn === '2026-04-01')?.id;
  await floor.post(`/v1/periods/${String(april)}/closing`, {});
});
