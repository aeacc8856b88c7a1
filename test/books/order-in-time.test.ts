import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { APRIL, APRIL_2, MARCH } from '../support/full-producer.js';
import type { ProblemBody } from '../support/problem.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;

let service: TestService;
let floor: Floor;
let fermenter: string;
let tank: string;
let lotId: string;

const litres = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
});
afterAll(() => service.stop());

// 100 L found finished on 10 March, all of it in a tank on the 14th.
beforeEach(async () => {
  floor = await Floor.open(service, [MARCH, APRIL]);
  fermenter = await floor.vessel('FV1');
  tank = await floor.vessel('BT1', 'bright-tank');
  const facts = { litres: 100, original: 1.06, final: 0.998, day: '2026-03-02', finishedDay: '2026-03-10' };
  lotId = await floor.finishedLot(fermenter, facts);
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: fermenter,
    toVesselId: tank,
    occurredAt: '2026-03-14T09:00:00Z',
  });
});
afterEach(() => expectBooksHold(service, floor.producerId, floor.key));

const sample = (volume: number, occurredAt: string, vesselId = tank): Json => ({
  kind: 'sample',
  lotId,
  vesselId,
  volume: litres(volume),
  occurredAt,
});
const gauge = (volume: number, occurredAt: string): Json => ({
  vesselId: tank,
  volume: litres(volume),
  temperature: { value: 20, unit: 'Cel' },
  occurredAt,
});

/** A refusal that leaves no row in any table, trail and idempotency included. */
async function refused(code: string, path: string, body: Json): Promise<ProblemBody & Json> {
  const before = await service.rowCounts();
  const headers = { 'idempotency-key': `refused-${Math.random()}` };
  const answer = await service.call('post', path, { key: floor.key, body, headers });
  const problem = problemOf(answer) as ProblemBody & Json;
  expect([problem.code, problem.detail]).toEqual([code, problem.detail]);
  expect(await service.rowCounts()).toEqual(before);
  return problem;
}

test('a draw dated back that would leave less than nothing later is refused, naming the moment and what stands there', async () => {
  // 40 L stand aside in between: 60 L are in the tank from the 15th, 100 from the 26th.
  const aside = { fromVesselId: tank, toVesselId: fermenter, volume: litres(40), occurredAt: '2026-03-15T09:00:00Z' };
  const back = { fromVesselId: fermenter, toVesselId: tank, occurredAt: '2026-03-26T09:00:00Z' };
  await floor.post(`/v1/lots/${lotId}/transfers`, aside);
  await floor.post(`/v1/lots/${lotId}/transfers`, back);
  const later = await floor.post('/v1/movements', sample(50, '2026-03-25T09:00:00Z'));
  await floor.post('/v1/movements', sample(6, '2026-03-20T09:00:00Z'));
  const problem = await refused('insufficient-stock', '/v1/movements', sample(4.000001, '2026-03-18T09:00:00Z'));
  expect(problem.operationsInTheWay).toEqual([later.id]);
  expect(Date.parse(String(problem.at))).toBe(Date.parse('2026-03-25T09:00:00Z'));
  expect(problem.balanceThen).toEqual(litres(-0.000001));
  // London keeps UTC until 29 March 2026.
  expect(problem.detail).toMatch(/^On 25 March 2026 at 09:00 the stock would be short by 0\.000001 L\./);
  await floor.post('/v1/movements', sample(4, '2026-03-18T09:00:00Z'));
  await refused('insufficient-stock', '/v1/movements', sample(0.000001, '2026-03-24T09:00:00Z'));
  await floor.post('/v1/movements', sample(40, '2026-03-27T09:00:00Z'));
  await refused('insufficient-stock', '/v1/movements', sample(0.000001, '2026-03-30T09:00:00Z'));
});

test('a draw dated before the liquid was there is refused', async () => {
  await refused('insufficient-stock', '/v1/movements', sample(1, '2026-03-13T09:00:00Z'));
  await refused('insufficient-stock', `/v1/lots/${lotId}/packagings`, {
    vesselId: tank,
    container: 'bottle',
    nominalVolume: litres(0.5),
    count: 10,
    emptied: false,
    declaredStrength: percent(8),
    occurredAt: '2026-03-14T08:59:59Z',
  });
});

test('at one and the same moment what comes and what goes are netted', async () => {
  await floor.post('/v1/movements', sample(100, '2026-03-14T09:00:00Z'));
  await refused('insufficient-stock', '/v1/movements', sample(0.000001, '2026-03-14T09:00:00Z'));
});

test('a gauge is an assertion: a draw dated before it is refused, naming it; one after it is taken', async () => {
  const made = await floor.post(`/v1/lots/${lotId}/gauges`, gauge(99, '2026-03-20T09:00:00Z'));
  const problem = await refused('assertion-in-the-way', '/v1/movements', sample(1, '2026-03-19T09:00:00Z'));
  expect(problem).toMatchObject({ operation: made.operationId, operationKind: 'gauge' });
  expect(problem.detail).toMatch(/^The gauge of 20 March 2026 at 09:00 says what was there then/);
  await floor.post('/v1/movements', sample(1, '2026-03-20T09:00:00Z'));
  await floor.post('/v1/movements', sample(1, '2026-03-20T09:00:01Z'));
});

test('what changes a composition, and a gauge, may not come before a later posting: refused, naming it', async () => {
  const drawn = await floor.post('/v1/movements', sample(1, '2026-03-22T09:00:00Z'));
  const dilution = { vesselId: tank, targetStrength: percent(4), occurredAt: '2026-03-21T09:00:00Z' };
  const named = { operation: drawn.id };
  expect(await refused('later-posting-in-the-way', `/v1/lots/${lotId}/dilutions`, dilution)).toMatchObject(named);
  const gauged = gauge(98, '2026-03-22T08:59:59Z');
  expect(await refused('later-posting-in-the-way', `/v1/lots/${lotId}/gauges`, gauged)).toMatchObject(named);
  const finding = {
    method: 'certificate',
    certificate: { strength: percent(8), expandedUncertainty: { value: 0.1, unit: '%' }, coverageFactor: 2 },
    occurredAt: '2026-03-21T09:00:00Z',
  };
  expect(await refused('later-posting-in-the-way', `/v1/lots/${lotId}/findings`, finding)).toMatchObject(named);
  await floor.post(`/v1/lots/${lotId}/dilutions`, { ...dilution, occurredAt: '2026-03-22T09:00:00Z' });
});

test('nothing is dated back over a dilution', async () => {
  const dilution = { vesselId: tank, water: litres(10), occurredAt: '2026-03-21T09:00:00Z' };
  await floor.post(`/v1/lots/${lotId}/dilutions`, dilution);
  const answer = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: sample(1, '2026-03-20T09:00:00Z'),
  });
  // The liquid of before the dilution is gone; the one after it was not there yet.
  expect(['insufficient-stock', 'assertion-in-the-way']).toContain(problemOf(answer).code);
});

test.each([
  ['time-ahead', '2026-04-02T08:05:01Z'],
  ['time-ahead', '2026-12-01T00:00:00Z'],
  ['period-not-open', '2026-02-28T23:59:59Z'],
  ['period-not-open', '2020-01-01T00:00:00Z'],
])('%s: %s', async (code, occurredAt) => {
  await refused(code, '/v1/movements', sample(1, occurredAt));
  await refused(code, `/v1/lots/${lotId}/gauges`, gauge(99, occurredAt));
});

test.each([
  ['without an offset', '2026-03-20T09:00:00'],
  ['on 30 February', '2026-02-30T09:00:00Z'],
  ['in month 13', '2026-13-01T09:00:00Z'],
  ['at 24:00', '2026-03-20T24:00:00Z'],
  ['in a leap second', '2026-03-20T23:59:60Z'],
  ['in a week', '2026-W12'],
  ['as a day', '2026-03-20'],
  ['as a number', 5],
  ['in the year 9999', '9999-01-01T00:00:00Z'],
  ['in the year 0001', '0001-01-01T00:00:00Z'],
  ['in the year 275760', '+275760-09-13T00:00:00Z'],
])('a time %s is refused', async (_, occurredAt) => {
  const body = { ...sample(1, ''), occurredAt };
  const before = await service.rowCounts();
  const problem = problemOf(await service.call('post', '/v1/movements', { key: floor.key, body }));
  expect(['validation-failed', 'out-of-range', 'time-ahead']).toContain(problem.code);
  expect(await service.rowCounts()).toEqual(before);
});

test('a clock of the floor may be five minutes fast, no more', async () => {
  await floor.post('/v1/movements', sample(1, '2026-04-02T08:05:00Z'));
});

test('each moment is in one period: the edge belongs to the one that begins there, in the zone of the premises', async () => {
  const { key } = floor;
  const premises = await floor.post('/v1/premises', { name: 'South', timeZone: 'Pacific/Auckland' });
  // 31 March 24:00 in Auckland, still at +13: 11:00 UTC.
  for (const [startsOn, endsBefore] of [MARCH, APRIL]) {
    await floor.post('/v1/periods', { premisesId: premises.id, startsOn, endsBefore });
  }
  const { items } = (await service.expect(200, 'get', `/v1/periods?premisesId=${String(premises.id)}`, { key }))
    .body as {
    items: { startsAt: string; endsAt: string }[];
  };
  expect(items.map(({ startsAt }) => startsAt).sort()).toEqual([
    '2026-02-28T11:00:00.000Z',
    '2026-03-31T11:00:00.000Z',
  ]);
  const vesselId = await floor.vessel('SV', 'tank', String(premises.id));
  const lot = await floor.lot();
  const charge = { vesselId, volume: litres(10), occurredAt: '2026-02-28T10:59:59.999Z' };
  await refused('period-not-open', `/v1/lots/${lot}/charges`, charge);
  await floor.post(`/v1/lots/${lot}/charges`, { ...charge, occurredAt: '2026-02-28T11:00:00Z' });
});

test('periods that overlap, leave a gap or run backwards are refused', async () => {
  const { premisesId } = floor;
  for (const [startsOn, endsBefore] of [
    ['2026-04-15', '2026-05-15'],
    ['2026-03-01', '2026-04-01'],
    ['2026-06-01', '2026-07-01'],
    ['2026-05-01', '2026-05-01'],
    ['2026-05-01', '2026-04-01'],
  ]) {
    const before = await service.rowCounts();
    const answer = await service.call('post', '/v1/periods', {
      key: floor.key,
      body: { premisesId, startsOn, endsBefore },
    });
    expect([startsOn, endsBefore, problemOf(answer).status]).toEqual([startsOn, endsBefore, expect.any(Number)]);
    expect(await service.rowCounts()).toEqual(before);
  }
});
