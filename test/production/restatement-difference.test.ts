import { SteppableClock } from '../../src/platform/clock.js';
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
    ['2026-05-01', '2026-06-01'],
  ]);
});
afterAll(() => service.stop());
afterEach(async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});

const { charge, certify, pack, differ, holding } = differencesOn(() => floor);

test('a wrong charge, by share over what stands and what was lost since; the preview says the same and stores nothing', async () => {
  // 100 L that were 102 L: at 5 %, 60 L went to another vessel and 3 L of them were lost. Of 2 L 0.8 stay, 1.14 went over, 0.06 were lost.
  const [first, second] = await Promise.all(['A1', 'A2'].map((name) => floor.vessel(name)));
  const lotId = await floor.lot();
  const { operationId } = await charge(lotId, first);
  await certify(lotId, 5);
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: first,
    toVesselId: second,
    volume: { value: 60, unit: 'L' },
    loss: { value: 3, unit: 'L' },
    occurredAt: '2026-03-11T09:00:00Z',
  });
  const rows = await service.rowCounts();
  const preview = await differ(operationId, { volume: { value: 102, unit: 'L' } }, { preview: true }, 200);
  expect(await service.rowCounts()).toEqual(rows);
  expect(preview).toMatchObject({
    preview: true,
    corrects: operationId,
    kindCorrected: 'charge',
    volumeChange: { value: 2 },
  });
  expect(lines(preview)).toEqual({
    liquid: [1.94, 0.097, 0],
    'process-loss/sugar-ferment': [0.06, 0.003, 0],
    'produced/sugar-ferment': [-2, -0.1, 0],
  });
  const done = await differ(operationId, { volume: { value: 102, unit: 'L' } }, { note: 'read the dip again' });
  expect(lines(done)).toEqual(lines(preview));
  expect(done.inStock).toEqual(preview.inStock);
  expect(await holding(first)).toEqual([40.8, 2.04, 0]);
  expect(await holding(second)).toEqual([58.14, 2.907, 0]);
  expect(await floor.get(`/v1/operations/${done.operations[0].operationId}`)).toMatchObject({
    kind: 'difference',
    corrects: operationId,
    reasonCode: 'misread',
    note: 'read the dip again',
    occurredAt: '2026-03-28T08:00:00.000Z',
  });
  // It can be reversed as anything else.
  await floor.post(`/v1/operations/${done.operations[0].operationId}/reversal`, { reasonCode: 'did-not-happen' });
  expect(await holding(first)).toEqual([40, 2, 0]);
});

test('a charge that is still in process changes in litres alone', async () => {
  const vessel = await floor.vessel('B');
  const lotId = await floor.lot();
  const { operationId } = await charge(lotId, vessel);
  const done = await differ(operationId, { volume: { value: 98.5, unit: 'L' } });
  expect(lines(done)).toEqual({ liquid: [-1.5, 0, 0], 'production-in-process/sugar-ferment': [1.5, 0, 0] });
  await certify(lotId, 5, { occurredAt: undefined });
  expect(await holding(vessel)).toEqual([98.5, 4.925, 0]);
});

test('what was put right once is put right again by the whole of what it was still wrong by', async () => {
  const [first, second] = await Promise.all(['R1', 'R2'].map((name) => floor.vessel(name)));
  const lotId = await floor.lot();
  const { operationId } = await charge(lotId, first);
  await differ(operationId, { volume: { value: 98, unit: 'L' } });
  const again = await differ(operationId, { volume: { value: 101, unit: 'L' } });
  expect(lines(again)).toEqual({ liquid: [3, 0, 0], 'production-in-process/sugar-ferment': [-3, 0, 0] });
  expect(await holding(first)).toEqual([101, 0, 0]);
  // A gauge, on a line that holds more of the same liquid.
  const finished = await floor.lot();
  await charge(finished, second);
  await certify(finished, 5);
  const gauged = await floor.post(`/v1/lots/${finished}/gauges`, {
    vesselId: second,
    volume: { value: 99, unit: 'L' },
    temperature: { value: 20, unit: 'Cel' },
    occurredAt: '2026-03-12T09:00:00Z',
  });
  await differ(gauged.operationId, { volume: { value: 102, unit: 'L' } });
  await differ(gauged.operationId, { volume: { value: 104, unit: 'L' } });
  expect(await holding(second)).toEqual([104, 5.2, 0]);
});

test('what explains a gauge leaves as it is by how much that was wrong', async () => {
  const vessel = await floor.vessel('X');
  const lotId = await floor.lot();
  await charge(lotId, vessel);
  const gauged = await floor.post(`/v1/lots/${lotId}/gauges`, {
    vesselId: vessel,
    volume: { value: 96, unit: 'L' },
    temperature: { value: 20, unit: 'Cel' },
    occurredAt: '2026-03-12T09:00:00Z',
  });
  await floor.post('/v1/movements', {
    kind: 'process-loss',
    lotId,
    vesselId: vessel,
    volume: { value: 2, unit: 'L' },
    explains: gauged.operationId,
    occurredAt: '2026-03-05T09:00:00Z',
  });
  await differ(gauged.operationId, { volume: { value: 98, unit: 'L' } });
  expect(await holding(vessel)).toEqual([98, 0, 0]);
});

test('what stands again, as its reversal was reversed, is put right like anything else', async () => {
  const vessel = await floor.vessel('S');
  const { operationId } = await charge(await floor.lot(), vessel);
  const gone = await floor.post(`/v1/operations/${String(operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  expect(await differ(operationId, { volume: { value: 90, unit: 'L' } }, {}, 409)).toMatchObject({
    errors: [{ rule: 'reversed' }],
  });
  await floor.post(`/v1/operations/${String(gone.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  await differ(operationId, { volume: { value: 90, unit: 'L' } });
  expect(await holding(vessel)).toEqual([90, 0, 0]);
});

test('a stock-take settles what was wrong before it', async () => {
  const vessel = await floor.vessel('T');
  const lotId = await floor.lot();
  const { operationId } = await charge(lotId, vessel);
  await floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    counts: [{ lotId, vesselId: vessel, volume: { value: 97, unit: 'L' }, temperature: { value: 20, unit: 'Cel' } }],
    occurredAt: '2026-03-12T09:00:00Z',
  });
  const done = await differ(operationId, { volume: { value: 98, unit: 'L' } });
  expect(lines(done)).toEqual({
    'stock-difference/sugar-ferment': [-2, 0, 0],
    'production-in-process/sugar-ferment': [2, 0, 0],
  });
  expect(await holding(vessel)).toEqual([97, 0, 0]);
});

test('a gauge settles what was wrong before it', async () => {
  // The charge of 1000 L was 100 L, and the gauge found 99 L: nothing in stock changes, the two lines do.
  const vessel = await floor.vessel('C');
  const lotId = await floor.lot();
  const { operationId } = await charge(lotId, vessel, { volume: { value: 1000, unit: 'L' } });
  await floor.post(`/v1/lots/${lotId}/gauges`, {
    vesselId: vessel,
    volume: { value: 99, unit: 'L' },
    reasonCode: 'measuring-error',
    temperature: { value: 20, unit: 'Cel' },
    occurredAt: '2026-03-05T10:00:00Z',
  });
  const before = await holding(vessel);
  const done = await differ(operationId, { volume: { value: 100, unit: 'L' } }, { reasonCode: 'typing-error' });
  expect(lines(done)).toEqual({
    'fermentation-volume-change/sugar-ferment': [-900, 0, 0],
    'production-in-process/sugar-ferment': [900, 0, 0],
  });
  expect(done.inStock).toEqual([]);
  expect(done.outflows).toMatchObject([{ kind: 'fermentation-volume-change', volume: { value: -900 } }]);
  expect(await holding(vessel)).toEqual(before);
});

test('a wrong gauge after the finish; containers hold what was counted, a movement what was measured', async () => {
  // Found 98 L where 99 L were: 20 L left by measure, 30 of the 78 L were packed as 58 bottles with 1 L of loss; half of the rest moved on.
  const [first, second] = await Promise.all(['D1', 'D2'].map((name) => floor.vessel(name)));
  const lotId = await floor.lot();
  await charge(lotId, first);
  await certify(lotId, 5);
  const gauge = (await floor.post(`/v1/lots/${lotId}/gauges`, {
    vesselId: first,
    volume: { value: 98, unit: 'L' },
    temperature: { value: 20, unit: 'Cel' },
    occurredAt: '2026-03-11T10:00:00Z',
  })) as Json & { volume: { value: number } };
  expect(gauge.volume.value).toBe(98);
  const moved = await floor.post('/v1/movements', {
    kind: 'dispatch-suspended',
    lotId,
    vesselId: first,
    volume: { value: 20, unit: 'L' },
    counterparty: 'Bonded Store',
    evidence: { document: 'eD-1' },
    occurredAt: '2026-03-12T10:00:00Z',
  });
  const packed = await pack(lotId, first, 58, { loss: { value: 1, unit: 'L' }, emptied: false });
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: first,
    toVesselId: second,
    volume: { value: 24, unit: 'L' },
    occurredAt: '2026-03-16T09:00:00Z',
  });
  const done = await differ(gauge.operationId, { volume: { value: 99, unit: 'L' } });
  // Of 1 L: 30/78 with the run, to its loss; 24/78 in each of the two vessels; the last decimals go to the largest.
  expect(lines(done)).toEqual({
    liquid: [0.615384, 0.03077, 0],
    'packaging-loss/sugar-ferment': [0.384616, 0.01923, 0],
    're-measurement/sugar-ferment': [-1, -0.05, 0],
  });
  expect(done.outflows.map(({ operationId, kind }) => [operationId, kind])).toEqual([
    [packed.operationId, 'packaging-loss'],
  ]);
  expect(await holding(packed.packagedLotId)).toEqual([29, 1.45, 0]);
  expect(moved.id).toBeDefined();
});

test('a dilution of it is restated by what the mixture then was', async () => {
  // 100 L at 8 % that were 104 L, all diluted with 60 L: 4 L at 8 % more in the mixture.
  const vessel = await floor.vessel('E');
  const lotId = await floor.lot();
  const { operationId } = await charge(lotId, vessel);
  await certify(lotId, 8);
  const diluted = (await floor.post(`/v1/lots/${lotId}/dilutions`, {
    vesselId: vessel,
    water: { value: 60, unit: 'L' },
    occurredAt: '2026-03-11T09:00:00Z',
  })) as Json & { volume: { value: number }; strength: { value: number } };
  const done = await differ(operationId, { volume: { value: 104, unit: 'L' } });
  expect(lines(done)).toEqual({ liquid: [4, 0.32, 0], 'produced/sugar-ferment': [-4, -0.32, 0] });
  expect(done.findings).toMatchObject([{ restates: diluted.findingId, compositionId: diluted.compositionId }]);
  const [litres, fermented] = await holding(vessel);
  expect(fermented).toBe(8.32);
  expect(done.findings[0].strength.value).toBeCloseTo((100 * fermented) / litres, 4);
});

async function spiritLot(code: string, volume: number): Promise<Json> {
  const material = await floor.post('/v1/materials', { name: `Spirit ${code}`, kind: 'spirit' });
  return floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code,
    volume: { value: volume, unit: 'L' },
    strength: { value: 96, unit: '%' },
    occurredAt: '2026-03-01T09:00:00Z',
  });
}

async function drinkOf(spirit: Json, vessel: string): Promise<Json & { lotId: string; strength: { value: number } }> {
  const lotId = await floor.lot('spirit-drink');
  const charged = await floor.post(`/v1/lots/${lotId}/spirit-charges`, {
    vesselId: vessel,
    spirits: [{ materialLotId: spirit.id, volume: { value: 10, unit: 'L' } }],
    water: { value: 190, unit: 'L' },
    occurredAt: '2026-03-16T09:00:00Z',
  });
  return { ...charged, lotId } as unknown as Json & { lotId: string; strength: { value: number } };
}

test('a receipt of 96 % that was 95 %: in the store, in the drink, shown for what was released', async () => {
  // 25 L: 15 L in the store, 10 L in the drink, of which half is packed and a fifth of that is released.
  const vessel = await floor.vessel('F');
  const spirit = await spiritLot('N-1', 25);
  const drink = await drinkOf(spirit, vessel);
  const [before] = await holding(vessel);
  const packed = await pack(drink.lotId, vessel, 200, { emptied: false, occurredAt: '2026-03-17T09:00:00Z' });
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packed.packagedLotId,
    count: 40,
    occurredAt: '2026-03-18T09:00:00Z',
  });
  const released = (0.1 * 20) / before;
  const done = await differ(spirit.operationId, { strength: { value: 95, unit: '%' } });
  const inDrink = -Math.round((0.1 - released) * 1e6) / 1e6;
  const posted = lines(done);
  expect(posted['receipts/materials'][2]).toBeCloseTo(0.15 - inDrink, 6);
  expect(posted.material).toEqual([0, 0, -0.15]);
  expect(posted['used-as-material/spirit-drink'][2]).toBeCloseTo(-inDrink, 6);
  expect(posted['used-as-material/materials'][2]).toBeCloseTo(inDrink, 6);
  expect(posted.liquid[2] + posted.packaged[2]).toBeCloseTo(inDrink, 6);
  expect(done.outflows).toMatchObject([{ kind: 'released' }]);
  expect(done.outflows[0].pureAlcohol.value).toBeCloseTo(-released, 6);
  expect(done.findings).toHaveLength(1);
  expect(done.findings[0].strength.value).toBeCloseTo(drink.strength.value - 10 / before, 9);
  expect(await holding(spirit.id)).toEqual([15, 0, 14.25]);
});

test('a receipt of 25 L that was 24.5 L: the draws were measured, so what is left changes', async () => {
  const vessel = await floor.vessel('G');
  const spirit = await spiritLot('N-2', 25);
  await drinkOf(spirit, vessel);
  const before = await holding(vessel);
  const done = await differ(spirit.operationId, { volume: { value: 24.5, unit: 'L' } });
  expect(lines(done)).toEqual({ material: [-0.5, 0, -0.48], 'receipts/materials': [0.5, 0, 0.48] });
  expect(await holding(spirit.id)).toEqual([14.5, 0, 13.92]);
  expect(await holding(vessel)).toEqual(before);
  const short = await differ(spirit.operationId, { volume: { value: 9, unit: 'L' } }, {}, 409);
  expect(short).toMatchObject({ code: 'insufficient-stock' });
});

test('what no difference is computed for is refused, and nothing is stored', async () => {
  const vessel = await floor.vessel('H');
  const lotId = await floor.lot();
  const { operationId } = await charge(lotId, vessel);
  await certify(lotId, 5);
  const packed = await pack(lotId, vessel, 190);
  const { items } = (await floor.get(`/v1/operations?lotId=${lotId}`)) as { items: { id: string; kind: string }[] };
  const finish = items.find(({ kind }) => kind === 'finish')?.id;
  const reversed = await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packed.packagedLotId,
    count: 1,
  });
  await floor.post(`/v1/operations/${String(reversed.id)}/reversal`, { reasonCode: 'did-not-happen' });
  const rows = await service.rowCounts();
  const volume = { volume: { value: 101, unit: 'L' } };
  const refusals: [unknown, Json, number, string, string][] = [
    [packed.operationId, volume, 422, 'not-computable', 'count-only'],
    [packed.operationId, { count: 201 }, 422, 'not-computable', 'more-than-drawn'],
    [finish, volume, 422, 'not-computable', 'reverse-instead'],
    [operationId, { strength: { value: 5, unit: '%' } }, 422, 'not-computable', 'volume-only'],
    [operationId, { volume: { value: 100, unit: 'L' } }, 422, 'not-computable', 'no-change'],
    [operationId, {}, 400, 'validation-failed', 'one-of-four'],
    [operationId, { ...volume, count: 3 }, 400, 'validation-failed', 'one-of-four'],
    [reversed.id, volume, 409, 'conflict', 'reversed'],
  ];
  for (const [id, correct, status, code, rule] of refusals) {
    expect(await differ(id, correct, {}, status)).toMatchObject({ code, errors: [{ rule }] });
  }
  const stranger = await service.newProducer('Another');
  const call = await service.call('post', `/v1/operations/${String(operationId)}/difference`, {
    key: stranger.key,
    body: { correct: volume, reasonCode: 'misread' },
  });
  expect(call.status).toBe(404);
  expect((await service.rowCounts()).operation).toBe(rows.operation);
  expect((await service.rowCounts()).finding).toBe(rows.finding);
});

test('a mistake in a closed period is put right in the open one, on its line', async () => {
  const [vessel, other] = await Promise.all(['I1', 'I2'].map((name) => floor.vessel(name)));
  const lotId = await floor.lot();
  const { operationId } = await charge(lotId, vessel);
  await certify(lotId, 5);
  const spirit = await spiritLot('N-3', 25);
  await drinkOf(spirit, other);
  clock.set(new Date('2026-04-02T08:00:00Z'));
  const { items } = (await floor.get('/v1/periods')) as { items: { id: string; startsOn: string }[] };
  const id = (from: string): string => String(items.find(({ startsOn }) => startsOn === from)?.id);
  await floor.post(`/v1/periods/${id('2026-03-01')}/closing`, {});

  const done = await differ(operationId, { volume: { value: 102, unit: 'L' } });
  expect(done).toMatchObject({ earlierPeriodId: id('2026-03-01'), occurredAt: '2026-04-02T08:00:00.000Z' });
  expect(lines(done)).toEqual({ liquid: [2, 0.1, 0], 'earlier-period/sugar-ferment': [-2, -0.1, 0] });
  const received = await differ(spirit.operationId, { strength: { value: 95, unit: '%' } });
  expect(lines(received)).toEqual({
    material: [0, 0, -0.15],
    'earlier-period/materials': [0, 0, 0.15],
    liquid: [0, 0, -0.1],
    'earlier-period/spirit-drink': [0, 0, 0.1],
  });
  clock.set(new Date('2026-05-02T08:00:00Z'));
  await floor.post(`/v1/periods/${id('2026-04-01')}/closing`, {});
});
