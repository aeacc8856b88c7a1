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

test('a transfer dated back into a vessel that held another lot then, or later, is refused, naming what brought that one', async () => {
  const other = await floor.lot();
  const charge = (day: string) => ({ vesselId: fermenter, volume: litres(80), occurredAt: `2026-03-${day}T09:00:00Z` });
  const charged = await floor.post(`/v1/lots/${other}/charges`, charge('20'));
  const third = await floor.vessel('FV3');
  await floor.post(`/v1/lots/${other}/transfers`, {
    fromVesselId: fermenter,
    toVesselId: third,
    occurredAt: '2026-03-25T09:00:00Z',
  });
  const into = (day: string) => ({
    fromVesselId: tank,
    toVesselId: fermenter,
    volume: litres(10),
    occurredAt: `2026-03-${day}T09:00:00Z`,
  });
  const path = `/v1/lots/${lotId}/transfers`;
  const while20 = await refused('vessel-in-use', path, into('22'));
  const way = { operation: charged.operationId, operationKind: 'charge', lot: other, vessel: fermenter };
  expect(while20).toMatchObject(way);
  expect(Date.parse(String(while20.at))).toBe(Date.parse('2026-03-22T09:00:00Z'));
  const before20 = await refused('vessel-in-use', path, into('18'));
  expect(before20).toMatchObject(way);
  expect(Date.parse(String(before20.at))).toBe(Date.parse('2026-03-20T09:00:00Z'));
  // A charge dated back meets it as well; what comes after it has gone is entered.
  const late = await floor.lot();
  expect(await refused('vessel-in-use', `/v1/lots/${late}/charges`, charge('23'))).toMatchObject(way);
  await floor.post(path, into('26'));
});
