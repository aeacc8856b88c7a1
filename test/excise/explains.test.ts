import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-05-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const L = (value: number) => ({ value, unit: 'L' });
type Json = Record<string, unknown>;

/** 100 bottles of 0.33 L at 5 % (33 L, 1.65 L of pure alcohol); a finished tank of 100 L at 5 %; a tank of 200 L that still ferments. */
async function cellar() {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
    ['2026-05-01', '2026-06-01'],
  ]);
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [
      { vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 },
      { vessel: 'F1', category: 'cider', litres: 200, volumeU: 1 },
    ],
    [
      {
        mark: 'B-1',
        category: 'beer',
        count: 100,
        nominalLitres: 0.33,
        declaredPercent: 5,
        percent: 5,
        strengthU: 0.1,
      },
    ],
  );
  const tank = { lotId: stock.lots[0], vesselId: stock.vessels[0] };
  const fermenter = { lotId: stock.lots[1], vesselId: stock.vessels[1] };
  return { floor, bottles: stock.packaged[0], tank, fermenter };
}

const counted = async (floor: Floor, packagedLotId: string, count: number, occurredAt = '2026-03-20T18:00:00Z') => {
  const made = await floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    occurredAt,
    counts: [{ packagedLotId, count }],
  });
  return (made.counts as { operationId: string }[])[0].operationId;
};
const gauged = async (floor: Floor, at: { lotId: string; vesselId: string }, litres: number, day: string) =>
  String(
    (
      await floor.post(`/v1/lots/${at.lotId}/gauges`, {
        vesselId: at.vesselId,
        volume: L(litres),
        temperature: { value: 20, unit: 'Cel' },
        reasonCode: 'recording-error',
        occurredAt: `${day}T09:00:00Z`,
      })
    ).operationId,
  );
const broken = (packagedLotId: string, count: number, more: Json = {}) => ({
  kind: 'accidental-loss',
  packagedLotId,
  count,
  occurredAt: '2026-03-10T12:00:00Z',
  reasonCode: 'breakage',
  ...more,
});
const tryMove = (floor: Floor, body: Json) => service.call('post', '/v1/movements', { key: floor.key, body });
const stock = async (floor: Floor) =>
  new Map(
    (
      (await floor.get('/v1/accounts?limit=200')).items as {
        packagedLotId?: string;
        vesselId?: string;
        litres: { value: number };
        litresOfPureAlcohol: { value: number };
      }[]
    ).map((each) => [each.packagedLotId ?? each.vesselId, [each.litres.value, each.litresOfPureAlcohol.value]]),
  );
const reportOf = async (floor: Floor, month = 0) => {
  const periods = (await floor.get('/v1/periods')).items as { id: string }[];
  return (await floor.get(`/v1/periods/${periods[month].id}/report`)) as unknown as PeriodReport;
};
const line = async (floor: Floor, name: string) => {
  const each = (await reportOf(floor)).lines.find((one) => one.line === name);
  return [each?.litres.value, each?.litresOfPureAlcohol.value];
};
const counters = async (floor: Floor) =>
  (await floor.get('/v1/operations?kind=explanation')).items as { id: string; occurredAt: string; explains: string }[];

test('a breakage found out after the stock-take explains it: the count stands, the difference is smaller', async () => {
  const { floor, bottles } = await cellar();
  const count = await counted(floor, bottles, 97);
  expect(await line(floor, 'stock-shortage')).toEqual([-0.99, -0.0495]);
  expect(problemOf(await tryMove(floor, broken(bottles, 2))).code).toBe('assertion-in-the-way');
  const moved = await floor.post('/v1/movements', broken(bottles, 2, { explains: count }));
  expect(moved.explains).toBe(count);
  // Three bottles were short: 0.99 L. Two of them (0.66 L, 0.033 L of pure alcohol) were broken; one stays unexplained.
  expect((await stock(floor)).get(bottles)).toEqual([32.01, 1.6005]);
  expect(await line(floor, 'accidental-loss')).toEqual([-0.66, -0.033]);
  expect(await line(floor, 'stock-shortage')).toEqual([-0.33, -0.0165]);
  expect(await counters(floor)).toMatchObject([{ occurredAt: '2026-03-20T18:00:00.000Z', explains: count }]);
  expect((await reportOf(floor)).stockDifferences).toMatchObject([{ litres: { value: -0.33 }, explained: false }]);
  await floor.post('/v1/movements', broken(bottles, 1, { explains: count }));
  const report = await reportOf(floor);
  expect(report.stockDifferences).toEqual([]);
  expect(report.reconciliation.balances).toBe(true);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('nothing after the count is in the way of what explains it; what lies before it is', async () => {
  const { floor, bottles } = await cellar();
  const early = await counted(floor, bottles, 99, '2026-03-05T18:00:00Z');
  const count = await counted(floor, bottles, 96);
  await counted(floor, bottles, 95, '2026-03-28T18:00:00Z');
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: bottles,
    count: 95,
    occurredAt: '2026-03-29T12:00:00Z',
  });
  await floor.post('/v1/movements', broken(bottles, 3, { explains: count }));
  expect((await stock(floor)).get(bottles)).toEqual([0, 0]);
  const body = broken(bottles, 1, { explains: count, occurredAt: '2026-03-03T12:00:00Z' });
  const refused = await tryMove(floor, body);
  expect([problemOf(refused).code, refused.body.operation]).toEqual(['assertion-in-the-way', early]);
  await floor.post('/v1/movements', { ...body, explains: early });
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a draw from a tank before its gauge: out of re-measurement; before it has finished, out of the fermentation', async () => {
  const { floor, tank, fermenter } = await cellar();
  const gauge = await gauged(floor, tank, 96, '2026-03-20');
  expect(await line(floor, 're-measurement')).toEqual([-4, -0.2]);
  const drawn = { ...tank, volume: L(3), occurredAt: '2026-03-10T12:00:00Z' };
  await floor.post('/v1/movements', { kind: 'sample', ...drawn, explains: gauge });
  expect((await stock(floor)).get(tank.vesselId)).toEqual([96, 4.8]);
  expect(await line(floor, 're-measurement')).toEqual([-1, -0.05]);
  expect(await line(floor, 'samples')).toEqual([-3, -0.15]);
  const early = await gauged(floor, fermenter, 196, '2026-03-20');
  expect(await line(floor, 'fermentation-volume-change')).toEqual([-4, 0]);
  await floor.post('/v1/movements', {
    kind: 'yeast-and-trub',
    ...fermenter,
    volume: L(2),
    occurredAt: '2026-03-10T12:00:00Z',
    explains: early,
  });
  expect((await stock(floor)).get(fermenter.vesselId)).toEqual([196, 0]);
  expect(await line(floor, 'fermentation-volume-change')).toEqual([-2, 0]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a transfer and a run dated before a gauge bring what they drew where it went', async () => {
  const { floor, tank } = await cellar();
  const gauge = await gauged(floor, tank, 70, '2026-03-20');
  const cask = await floor.vessel('C1', 'cask');
  await floor.post(`/v1/lots/${tank.lotId}/transfers`, {
    fromVesselId: tank.vesselId,
    toVesselId: cask,
    volume: L(10),
    loss: L(1),
    occurredAt: '2026-03-10T12:00:00Z',
    explains: gauge,
  });
  const run = await floor.post(`/v1/lots/${tank.lotId}/packagings`, {
    vesselId: tank.vesselId,
    container: 'bottle',
    nominalVolume: L(0.5),
    count: 30,
    loss: L(2),
    reasonCode: 'spill',
    emptied: false,
    declaredStrength: { value: 5, unit: '%' },
    occurredAt: '2026-03-11T12:00:00Z',
    explains: gauge,
  });
  // Of the 30 L that the gauge missed, 10 went to the cask with a loss of 1, 15 into bottles with a loss of 2; 3 stay re-measured.
  expect(await stock(floor)).toEqual(
    new Map<unknown, number[]>([
      ...(await stock(floor)),
      [tank.vesselId, [70, 3.5]],
      [cask, [9, 0.45]],
      [run.packagedLotId, [15, 0.75]],
    ]),
  );
  expect(await line(floor, 're-measurement')).toEqual([-3, -0.15]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('goods that left the tank empty by now can still be explained', async () => {
  const { floor, tank } = await cellar();
  const gauge = await gauged(floor, tank, 90, '2026-03-20');
  await floor.post('/v1/movements', {
    kind: 'process-loss',
    ...tank,
    volume: L(90),
    occurredAt: '2026-03-25T12:00:00Z',
  });
  const drawn = { kind: 'sample', ...tank, volume: L(10), occurredAt: '2026-03-10T12:00:00Z', explains: gauge };
  await floor.post('/v1/movements', drawn);
  expect((await stock(floor)).get(tank.vesselId)).toEqual([0, 0]);
  const refused = await tryMove(floor, { ...drawn, volume: L(91) });
  expect([problemOf(refused).code, refused.body.inStock]).toEqual(['insufficient-stock', L(90)]);
});

test('entry and counter-entry are reversed together, and the count only after them', async () => {
  const { floor, bottles } = await cellar();
  const count = await counted(floor, bottles, 97);
  const moved = await floor.post('/v1/movements', broken(bottles, 2, { explains: count }));
  const before = await service.rowCounts();
  const reversal = (id: string) =>
    service.call('post', `/v1/operations/${id}/reversal`, { key: floor.key, body: { reasonCode: 'did-not-happen' } });
  const refused = await reversal(count);
  expect([refused.status, problemOf(refused).code]).toEqual([409, 'in-use']);
  expect([moved.id, (await counters(floor))[0].id]).toContain(refused.body.operation);
  expect(await service.rowCounts()).toEqual(before);
  await service.expect(201, 'post', `/v1/operations/${String(moved.id)}/reversal`, {
    key: floor.key,
    body: { reasonCode: 'did-not-happen' },
  });
  expect((await stock(floor)).get(bottles)).toEqual([32.01, 1.6005]);
  expect(await line(floor, 'stock-shortage')).toEqual([-0.99, -0.0495]);
  expect(await line(floor, 'accidental-loss')).toEqual([0, 0]);
  expect(problemOf(await reversal((await counters(floor))[0].id)).code).toBe('conflict');
  await service.expect(201, 'post', `/v1/operations/${count}/reversal`, {
    key: floor.key,
    body: { reasonCode: 'did-not-happen' },
  });
  expect((await stock(floor)).get(bottles)).toEqual([33, 1.65]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what explains nothing is refused with its code, and nothing is stored', async () => {
  const { floor, bottles, tank } = await cellar();
  const other = await cellar();
  const count = await counted(floor, bottles, 97);
  const theirs = await counted(other.floor, other.bottles, 97);
  const gone = await counted(floor, bottles, 97, '2026-03-22T18:00:00Z');
  await floor.post(`/v1/operations/${gone}/reversal`, { reasonCode: 'did-not-happen' });
  const sold = String(
    (
      await floor.post('/v1/movements', {
        kind: 'release',
        packagedLotId: bottles,
        count: 1,
        occurredAt: '2026-03-28T12:00:00Z',
      })
    ).id,
  );
  const unknown = '018f0000-0000-7000-8000-000000000000';
  const before = await service.rowCounts();
  const refusals: [name: string, body: Json, status: number, code: string, rule?: string][] = [
    ['unknown', broken(bottles, 1, { explains: unknown }), 404, 'not-found', 'not-found'],
    ['another producer’s', broken(bottles, 1, { explains: theirs }), 404, 'not-found', 'not-found'],
    ['no assertion', broken(bottles, 1, { explains: sold }), 409, 'conflict', 'not-an-assertion'],
    ['reversed', broken(bottles, 1, { explains: gone }), 409, 'conflict', 'reversed'],
    [
      'not later',
      broken(bottles, 1, { explains: count, occurredAt: '2026-03-21T12:00:00Z' }),
      409,
      'conflict',
      'not-later',
    ],
    [
      'other goods',
      { kind: 'sample', ...tank, volume: L(1), occurredAt: '2026-03-10T12:00:00Z', explains: count },
      409,
      'conflict',
      'other-account',
    ],
    ['more than there was', broken(bottles, 101, { explains: count }), 409, 'insufficient-stock'],
    ['no id', broken(bottles, 1, { explains: 'the count' }), 400, 'validation-failed'],
  ];
  for (const [name, body, status, code, rule] of refusals) {
    const refused = await tryMove(floor, body);
    const problem = problemOf(refused);
    expect([name, refused.status, problem.code]).toEqual([name, status, code]);
    if (rule !== undefined) {
      expect([name, problem.errors?.map((each) => [each.pointer, each.rule])]).toEqual([name, [['/explains', rule]]]);
    }
  }
  expect(await service.rowCounts()).toEqual(before);
});

test('where the period of the count has been closed, the counter-entry cannot be dated there', async () => {
  const { floor, bottles } = await cellar();
  const count = await counted(floor, bottles, 97);
  const march = ((await floor.get('/v1/periods')).items as { id: string }[])[0].id;
  await floor.post(`/v1/periods/${march}/closing`, {});
  const before = await service.rowCounts();
  const refused = await tryMove(floor, broken(bottles, 2, { explains: count }));
  expect([refused.status, problemOf(refused).code, refused.body.period]).toEqual([409, 'period-closed', march]);
  expect(await service.rowCounts()).toEqual(before);
});

test('many clients explain one count at once: each is counted once, and no more than there was', async () => {
  const { floor, bottles } = await cellar();
  const count = await counted(floor, bottles, 95);
  const answers = await Promise.all(
    Array.from({ length: 8 }, () => tryMove(floor, broken(bottles, 1, { explains: count }))),
  );
  const done = answers.filter(({ status }) => status === 201).length;
  expect(answers.every(({ status, body }) => status === 201 || (body as { code: string }).code === 'conflict')).toBe(
    true,
  );
  expect((await stock(floor)).get(bottles)).toEqual([31.35, 1.5675]);
  const [shortage, surplus] = [(await line(floor, 'stock-shortage'))[0], (await line(floor, 'stock-surplus'))[0]];
  // More explained than was missing is a surplus of the count.
  expect((shortage ?? 0) + (surplus ?? 0)).toBeCloseTo(-1.65 + 0.33 * done, 9);
  expect([shortage, surplus]).toContain(0);
  await expectBooksHold(service, floor.producerId, floor.key);
});
