import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { restatementSteps } from './restatement-world.js';
import type { Account } from './restatement-world.js';

type Json = Record<string, unknown>;

let service: TestService;
let floor: Floor;
const clock = new SteppableClock(new Date('2026-04-28T08:00:00Z'));
beforeAll(async () => {
  service = await TestService.start({ clock });
  floor = await Floor.open(service, [['2026-04-01', '2026-05-01']]);
});
afterAll(() => service.stop());
afterEach(async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});

const { lotAt, certify, pack, holding, postings } = restatementSteps(() => floor);

test('a draw that is entered late, dated before a restatement, names it and takes the strength of its time', async () => {
  // 90 L packed at 5 % and restated to 4.8 % on the 20th; then 20 L are said to have left on the 16th, at 5 %: 1 L of pure alcohol.
  const vessel = await floor.vessel('E1');
  const lotId = await lotAt(vessel, 5);
  const { packagedLotId } = await pack(lotId, vessel, 180);
  const found = await certify(lotId, 4.8, { occurredAt: '2026-04-20T09:00:00Z' });
  expect((await holding(packagedLotId)).fermented.value).toBe(4.32);
  const release = { kind: 'release', packagedLotId, count: 40, occurredAt: '2026-04-16T09:00:00Z' };
  const refused = await floor.post('/v1/movements', release, 409);
  expect([refused.code, refused.operation]).toEqual(['assertion-in-the-way', found.operationId]);
  expect(refused.detail).toContain('name it in `explains`');
  const late = await floor.post('/v1/movements', { ...release, explains: found.operationId });
  expect(late.litresOfPureAlcohol).toMatchObject({ value: 1 });
  // As if it had been entered in its time: 70 L at 4.8 % are left, and of the change 0.14 L is posted, not 0.18 L.
  const there = await holding(packagedLotId);
  expect([there.litres.value, there.fermented.value]).toEqual([70, 3.36]);
  const u = 1.959964 * 0.0005 * 70;
  expect(there.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(u, 5);
  const { items } = (await floor.get(`/v1/operations?lotId=${lotId}`)) as { items: { id: string; kind: string }[] };
  const counter = items.find(({ kind }) => kind === 'explanation');
  expect(await postings(counter?.id)).toEqual({ packaged: [0, 0.04, 0], 're-measurement': [0, -0.04, 0] });
  // All of the rest, before it as well, and a return: nothing and then 10 L at 4.8 %.
  await floor.post('/v1/movements', {
    ...release,
    count: 140,
    occurredAt: '2026-04-17T09:00:00Z',
    explains: found.operationId,
  });
  const { items: all } = (await floor.get('/v1/accounts?limit=200')) as { items: (Account & Json)[] };
  const own = all.find((each) => each.packagedLotId === packagedLotId && each.kind === 'packaged');
  expect([own?.litres.value, own?.fermented.value]).toEqual([0, 0]);
  // A transfer out of a vessel takes what was found with it.
  const [from, to] = [await floor.vessel('E2'), await floor.vessel('E3')];
  const second = await lotAt(from, 5);
  const restated = await certify(second, 4.8, { occurredAt: '2026-04-20T09:00:00Z' });
  const transfer = { fromVesselId: from, toVesselId: to, volume: { value: 50, unit: 'L' } };
  const before = { ...transfer, occurredAt: '2026-04-15T09:00:00Z', explains: restated.operationId };
  const stays = await floor.post(`/v1/lots/${second}/transfers`, before, 409);
  expect(stays.errors).toMatchObject([{ pointer: '/explains', rule: 'found-later' }]);
  await floor.post(`/v1/lots/${second}/transfers`, { ...transfer, occurredAt: '2026-04-20T09:00:01Z' });
});

test('an entry before a gauge names the gauge, though a restatement lies between', async () => {
  const vessel = await floor.vessel('E4');
  const lotId = await lotAt(vessel, 5);
  await certify(lotId, 4.8, { occurredAt: '2026-04-20T09:00:00Z' });
  const gauge = await floor.post(`/v1/lots/${lotId}/gauges`, {
    vesselId: vessel,
    volume: { value: 99, unit: 'L' },
    standardUncertainty: { value: 0.5, unit: 'L' },
    occurredAt: '2026-04-22T09:00:00Z',
  });
  const lost = { kind: 'process-loss', lotId, vesselId: vessel, volume: { value: 1, unit: 'L' } };
  const body = { ...lost, occurredAt: '2026-04-15T09:00:00Z' };
  await floor.post('/v1/movements', body, 409);
  await floor.post('/v1/movements', { ...body, explains: gauge.operationId });
  const there = await holding(vessel);
  expect([there.litres.value, there.fermented.value]).toEqual([99, 4.752]);
});

test('the real extract of a mixture is restated with its strength', async () => {
  // Twice the same dilution: once of a lot with the right final gravity, once of one that was read as 0.990 and put right to 0.998 afterwards.
  const diluted = async (
    name: string,
    final: number,
  ): Promise<{ lotId: string; compositionId: unknown; from: string }> => {
    const vessel = await floor.vessel(name);
    const lotId = await floor.finishedLot(vessel, {
      litres: 100,
      original: 1.09,
      final,
      day: '2026-04-02',
      finishedDay: '2026-04-20',
    });
    const { items } = (await floor.get(`/v1/lots/${lotId}/findings`)) as { items: { compositionId: string }[] };
    const mixed = await floor.post(`/v1/lots/${lotId}/dilutions`, {
      vesselId: vessel,
      water: { value: 120, unit: 'L' },
      occurredAt: '2026-04-21T09:00:00Z',
    });
    return { lotId, compositionId: mixed.compositionId, from: items[0].compositionId };
  };
  const extractOf = async (lotId: string, compositionId: unknown): Promise<{ strength: number; extract: number }> => {
    const { items } = (await floor.get(`/v1/lots/${lotId}/findings`)) as {
      items: (Json & { strength: { value: number }; realExtract: number })[];
    };
    const last = items.filter((each) => each.compositionId === compositionId).at(-1);
    return { strength: last?.strength.value ?? NaN, extract: last?.realExtract ?? NaN };
  };
  const [right, wrong] = [await diluted('X1', 0.998), await diluted('X2', 0.99)];
  const before = await extractOf(wrong.lotId, wrong.compositionId);
  const again = await floor.gravity(wrong.lotId, 0.998, '2026-04-20T08:00:01Z');
  await floor.post(`/v1/lots/${wrong.lotId}/findings`, {
    method: 'mass-balance',
    compositionId: wrong.from,
    finalReadingId: again,
  });
  const [expected, found] = [
    await extractOf(right.lotId, right.compositionId),
    await extractOf(wrong.lotId, wrong.compositionId),
  ];
  expect(found.extract - before.extract).toBeGreaterThan(0.5);
  expect(found.extract).toBeCloseTo(expected.extract, 3);
  expect(found.strength).toBeCloseTo(expected.strength, 3);
});
