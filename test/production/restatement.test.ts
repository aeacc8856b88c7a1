import { SteppableClock } from '../../src/platform/clock.js';
import type { Restatement } from '../../src/production/measuring/restatement/restatement.dto.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { restatementSteps } from './restatement-world.js';

type Json = Record<string, unknown>;

let service: TestService;
let floor: Floor;
const clock = new SteppableClock(new Date('2026-04-28T08:00:00Z'));
beforeAll(async () => {
  service = await TestService.start({ clock });
  floor = await Floor.open(service, [
    ['2026-04-01', '2026-05-01'],
    ['2026-05-01', '2026-06-01'],
  ]);
});
afterAll(() => service.stop());
afterEach(async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});

const { lotAt, certify, pack, holding, postings } = restatementSteps(() => floor);

test('a certificate after packing restates what is still in stock and shows what has left', async () => {
  // 100 L at 5 %: 180 bottles of 500 mL, 10 L lost, 40 released. At 4.8 % each litre has 0.002 L less.
  const vessel = await floor.vessel('A');
  const lotId = await lotAt(vessel, 5);
  const packed = await pack(lotId, vessel, 180);
  const release = await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packed.packagedLotId,
    count: 40,
    occurredAt: '2026-04-16T09:00:00Z',
  });
  expect((await holding(packed.packagedLotId)).fermented.value).toBe(3.5);
  const found = await certify(lotId, 4.8);
  const { restatement } = found as { restatement: Restatement };
  expect(restatement.change.value).toBeCloseTo(-0.2, 12);
  expect(restatement.inStock).toEqual([
    {
      lotId,
      compositionId: packed.compositionId,
      packagedLotId: packed.packagedLotId,
      volume: { value: 70, unit: 'L' },
      pureAlcohol: { value: -0.14, unit: 'L' },
    },
  ]);
  expect(restatement.outflows).toEqual([
    {
      operationId: packed.operationId,
      operationKind: 'packaging',
      kind: 'packaging-loss',
      occurredAt: '2026-04-15T09:00:00.000Z',
      volume: { value: 10, unit: 'L' },
      pureAlcohol: { value: -0.02, unit: 'L' },
    },
    expect.objectContaining({
      operationId: release.id,
      kind: 'released',
      volume: { value: 20, unit: 'L' },
      pureAlcohol: { value: -0.04, unit: 'L' },
    }),
  ]);
  const there = await holding(packed.packagedLotId);
  expect([there.litres.value, there.fermented.value, there.added.value]).toEqual([70, 3.36, 0]);
  expect(await postings(found.operationId)).toEqual({
    packaged: [0, -0.14, 0],
    're-measurement': [0, 0.14, 0],
  });
  const operation = await floor.get(`/v1/operations/${String(found.operationId)}`);
  expect(operation).toMatchObject({ occurredAt: '2026-04-28T08:00:00.000Z', kind: 'finding' });
  expect((operation.document as { restatement: Restatement }).restatement).toEqual(restatement);
  // Bottles were counted, so only the strength is unsure: u = 0.05 % vol of 70 L, the new certificate's in place of the old one's.
  const u = 1.959964 * 0.0005 * 70;
  expect(there.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(u, 5);
});

test('the first finding of record restates what left while only a provisional one stood', async () => {
  // 100 L: 1 L thrown away with no strength known; at a provisional 4.5 % 2 L lost and 20 L dispatched, 30 L split off; then 5 % of record.
  const [vessel, aside] = await Promise.all(['P1', 'P2'].map((name) => floor.vessel(name)));
  const lotId = await floor.lot();
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId: vessel,
    volume: { value: 100, unit: 'L' },
    standardUncertainty: { value: 0.5, unit: 'L' },
    occurredAt: '2026-04-02T10:00:00Z',
  });
  const draw = (kind: string, value: number, day: string, more: Json = {}) =>
    floor.post('/v1/movements', {
      kind,
      lotId,
      vesselId: vessel,
      volume: { value, unit: 'L' },
      occurredAt: `2026-04-${day}T09:00:00Z`,
      ...more,
    });
  await draw('yeast-and-trub', 1, '04');
  await certify(lotId, 4.5, { standing: 'provisional', occurredAt: '2026-04-06T09:00:00Z' });
  const lost = await draw('process-loss', 2, '07');
  expect(lost.litresOfPureAlcohol).toMatchObject({ value: 0.09 });
  const sent = await draw('dispatch-suspended', 20, '08', {
    counterparty: 'Bonded Store (invented)',
    evidence: { document: 'eD-1' },
  });
  const split = await floor.post(`/v1/lots/${lotId}/splits`, {
    fromVesselId: vessel,
    toVesselId: aside,
    volume: { value: 30, unit: 'L' },
    newLotId: await floor.lot(),
    occurredAt: '2026-04-08T10:00:00Z',
  });
  const { restatement } = (await certify(lotId, 5, { occurredAt: '2026-04-10T09:00:00Z' })) as {
    restatement: Restatement;
  };
  expect(restatement.change.value).toBeCloseTo(0.5, 12);
  // 47 L are there and have 2.35 L of pure alcohol, 0.235 L more; of the rest it is shown.
  expect(restatement.inStock).toMatchObject([
    { vesselId: vessel, volume: { value: 47 }, pureAlcohol: { value: 0.235 } },
  ]);
  expect(
    restatement.outflows.map((each) => [each.operationId, each.kind, each.volume.value, each.pureAlcohol.value]),
  ).toEqual([
    [lost.id, 'process-loss', 2, 0.01],
    [sent.id, 'dispatched-suspended', 20, 0.1],
    [split.operationId, 'measured-since', 30, 0.15],
  ]);
  expect((await holding(vessel)).fermented.value).toBe(2.35);
  expect((await holding(aside)).fermented.value).toBe(1.35);
  // Nothing had left: nothing to show.
  const other = await lotAt(await floor.vessel('P3'), 5);
  const { items } = (await floor.get(`/v1/lots/${other}/findings`)) as { items: Json[] };
  expect(items.map((each) => each.restatement)).toEqual([undefined]);
});

test('what is left in vessels, what was diluted and what was blended from that: one change, by share', async () => {
  // X 100 L at 8 %: 40 L go to V2 and are diluted, half of that is blended with Z of the same strength; 60 L stay.
  const [first, second, third, fourth] = await Promise.all(['B1', 'B2', 'B3', 'B4'].map((name) => floor.vessel(name)));
  const lotId = await lotAt(first, 8);
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: first,
    toVesselId: second,
    volume: { value: 40, unit: 'L' },
    occurredAt: '2026-04-11T09:00:00Z',
  });
  const diluted = (await floor.post(`/v1/lots/${lotId}/dilutions`, {
    vesselId: second,
    water: { value: 24, unit: 'L' },
    occurredAt: '2026-04-11T10:00:00Z',
  })) as Json & { volume: { value: number }; strength: { value: number } };
  const other = await lotAt(third, Number(diluted.strength.value.toFixed(6)));
  const blended = await floor.lot('sugar-ferment');
  const mixed = await floor.post('/v1/blends', {
    lotId: blended,
    vesselId: fourth,
    components: [
      { vesselId: second, volume: { value: 32, unit: 'L' } },
      { vesselId: third, volume: { value: 32, unit: 'L' } },
    ],
    occurredAt: '2026-04-12T09:00:00Z',
  });
  const charge = (await floor.get(`/v1/operations?lotId=${lotId}`)) as {
    items: { kind: string; compositionId: string }[];
  };
  const compositionId = charge.items.find(({ kind }) => kind === 'charge')?.compositionId;
  const before = await holding(fourth);

  const found = await certify(lotId, 8.3, { compositionId });
  const { restatement } = found as { restatement: Restatement };
  // 40 L went into the dilution: 0.12 L more, by litres between what is left of it and the blend's 32 L.
  const there = diluted.volume.value;
  const inBlend = (40 * 32) / there;
  const byVessel = Object.fromEntries(restatement.inStock.map((each) => [each.vesselId, each]));
  expect(byVessel[first]).toMatchObject({ volume: { value: 60 }, pureAlcohol: { value: 0.18 } });
  expect(byVessel[second].volume.value).toBeCloseTo(40 - inBlend, 6);
  expect(byVessel[second].pureAlcohol.value).toBeCloseTo((40 - inBlend) * 0.003, 6);
  expect(byVessel[fourth].volume.value).toBeCloseTo(inBlend, 6);
  expect(byVessel[fourth].pureAlcohol.value).toBeCloseTo(inBlend * 0.003, 6);
  const sum = restatement.inStock.reduce((total, { pureAlcohol }) => total + pureAlcohol.value, 0);
  expect(sum).toBeCloseTo(0.3, 9);
  expect(restatement.outflows).toEqual([]);
  expect((await holding(first)).fermented.value).toBe(4.98);
  const after = await holding(fourth);
  expect(after.fermented.value - before.fermented.value).toBeCloseTo(inBlend * 0.003, 6);
  expect(await postings(found.operationId)).toEqual({ liquid: [0, 0.3, 0], 're-measurement': [0, -0.3, 0] });

  // The mixtures' strengths follow, each restating the one before.
  expect(restatement.findings).toHaveLength(2);
  const [ofDilution, ofBlend] = restatement.findings;
  expect(ofDilution).toMatchObject({ compositionId: diluted.compositionId, restates: diluted.findingId });
  expect(ofDilution.strength.value).toBeCloseTo(diluted.strength.value + (0.3 * 40) / there, 9);
  expect(ofBlend).toMatchObject({ compositionId: mixed.compositionId, restates: mixed.findingId });
  const kept = await floor.get(`/v1/findings/${ofDilution.id}`);
  expect(kept).toMatchObject({ standing: 'of-record', method: { id: 'mixture' }, operationId: found.operationId });
  expect((kept.uncertainty as { standard: { value: number } }).standard.value).toBeGreaterThan(0);
  expect(other).not.toBe(lotId);

  // Packing now goes by the restated strength, and a reversal takes all of it back.
  await floor.post(`/v1/operations/${String(found.operationId)}/reversal`, { reasonCode: 'laboratory-result' });
  expect((await holding(fourth)).fermented.value).toBe(before.fermented.value);
  expect((await holding(first)).fermented.value).toBe(4.8);
  const again = (await certify(lotId, 8.1, { compositionId })) as Json & { restatement: Restatement };
  expect(again.restatement.change.value).toBeCloseTo(0.1, 12);
  const [derived] = again.restatement.findings;
  expect(derived.restates).toBe(ofDilution.id);
  expect(derived.strength.value).toBeCloseTo(diluted.strength.value + (0.1 * 40) / there, 9);
});

test('liquid that was measured on its own since stands on its own finding', async () => {
  const [first, second] = await Promise.all(['C1', 'C2'].map((name) => floor.vessel(name)));
  const lotId = await lotAt(first, 8);
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: first,
    toVesselId: second,
    volume: { value: 40, unit: 'L' },
    occurredAt: '2026-04-11T09:00:00Z',
  });
  const diluted = await floor.post(`/v1/lots/${lotId}/dilutions`, {
    vesselId: second,
    water: { value: 24, unit: 'L' },
    occurredAt: '2026-04-11T10:00:00Z',
  });
  await certify(lotId, 5.1, { compositionId: diluted.compositionId, occurredAt: '2026-04-12T09:00:00Z' });
  const before = await holding(second);
  const operations = (await floor.get(`/v1/operations?lotId=${lotId}`)) as {
    items: { kind: string; compositionId: string }[];
  };
  const compositionId = operations.items.find(({ kind }) => kind === 'charge')?.compositionId;
  const { restatement } = (await certify(lotId, 8.3, { compositionId })) as { restatement: Restatement };
  expect(restatement.inStock).toMatchObject([{ vesselId: first, volume: { value: 60 }, pureAlcohol: { value: 0.18 } }]);
  expect(restatement.outflows).toMatchObject([{ kind: 'measured-since', volume: { value: 40 } }]);
  expect(restatement.findings).toEqual([]);
  expect((await holding(second)).fermented.value).toBe(before.fermented.value);
});

test('rounding goes to the largest, and the whole is exact', async () => {
  // 33.3 L, 33.3 L and 33.4 L of bottles at +0.0001 % vol: 0.0000333, 0.0000333 and 0.0000334 L, to six places 33, 33 and 33 of 100.
  const vessel = await floor.vessel('D');
  const lotId = await lotAt(vessel, 5);
  const ids: unknown[] = [];
  for (const [count, index] of [
    [333, 0],
    [333, 1],
    [334, 2],
  ]) {
    const packed = await pack(lotId, vessel, count, {
      nominalVolume: { value: 100, unit: 'mL' },
      emptied: index === 2,
      occurredAt: `2026-04-15T09:0${index}:00Z`,
    });
    ids.push(packed.packagedLotId);
  }
  const found = await certify(lotId, 5.0001);
  const { restatement } = found as { restatement: Restatement };
  const byLot = ids.map(
    (id) => restatement.inStock.find(({ packagedLotId }) => packagedLotId === id)?.pureAlcohol.value,
  );
  expect(byLot).toEqual([0.000033, 0.000033, 0.000034]);
  expect((await postings(found.operationId))['re-measurement']).toEqual([0, -0.0001, 0]);
});

test('what was added changes pro rata with what was fermented', async () => {
  const material = await floor.post('/v1/materials', {
    name: 'Spirit',
    kind: 'spirit',
    strength: { value: 96, unit: '%' },
  });
  const spirit = await floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code: 'N-1',
    volume: { value: 25, unit: 'L' },
    occurredAt: '2026-04-01T09:00:00Z',
  });
  const vessel = await floor.vessel('E');
  const lotId = await floor.lot('spirit-drink');
  const charged = (await floor.post(`/v1/lots/${lotId}/spirit-charges`, {
    vesselId: vessel,
    spirits: [{ materialLotId: spirit.id, volume: { value: 10, unit: 'L' } }],
    water: { value: 182, unit: 'L' },
    occurredAt: '2026-04-16T09:00:00Z',
  })) as Json & { volume: { value: number }; strength: { value: number } };
  const packed = await pack(lotId, vessel, 300, { occurredAt: '2026-04-17T09:00:00Z' });
  const before = await holding(packed.packagedLotId);
  await certify(lotId, Number((charged.strength.value + 0.1).toFixed(6)));
  const after = await holding(packed.packagedLotId);
  expect(after.fermented.value).toBe(0);
  expect(after.added.value - before.added.value).toBeCloseTo(0.15, 5);
});

test('refused: nothing left and never found, provisional after the fact, dated before later work', async () => {
  const vessel = await floor.vessel('F');
  const lotId = await lotAt(vessel, 5);
  const packed = await pack(lotId, vessel, 190);
  const rows = await service.rowCounts();
  const refused = await certify(lotId, 4.9, { occurredAt: '2026-04-14T09:00:00Z' }, 409);
  expect(refused).toMatchObject({ code: 'later-posting-in-the-way', operationKind: 'packaging' });
  expect((await certify(lotId, 4.9, { standing: 'provisional' }, 409)).code).toBe('conflict');
  expect(await service.rowCounts()).toEqual(rows);
  // All released: nothing to post, and what left is on record.
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packed.packagedLotId,
    count: 190,
    occurredAt: '2026-04-16T09:00:00Z',
  });
  const found = await certify(lotId, 4.9);
  expect((found as { restatement: Restatement }).restatement).toMatchObject({
    inStock: [],
    outflows: [{ kind: 'packaging-loss' }, { kind: 'released', volume: { value: 95 }, pureAlcohol: { value: -0.095 } }],
  });
  expect(await postings(found.operationId)).toEqual({});
});

test('the period closes on it: the three reconciliation meet', async () => {
  clock.set(new Date('2026-05-02T08:00:00Z'));
  const { items } = (await floor.get('/v1/periods')) as { items: { id: string; startsOn: string }[] };
  const april = items.find(({ startsOn }) => startsOn === '2026-04-01');
  await floor.post(`/v1/periods/${String(april?.id)}/closing`, {});
});
