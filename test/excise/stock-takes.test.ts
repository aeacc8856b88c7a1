import {
  ethanolWaterDensityKgM3,
  massFractionFromVolumePercent,
} from '../../src/alcoholometry/liquids/ethanol-water.js';
import type { ClosingCheck } from '../../src/excise/closing/closing.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { StockTake } from '../../src/excise/movements/stock-takes/stock-takes.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
const clock = new SteppableClock(new Date('2026-04-02T08:00:00Z'));
beforeAll(async () => {
  service = await TestService.start({ clock });
});
afterAll(() => service.stop());

const L = (value: number) => ({ value, unit: 'L' });
const celsius = { value: 20, unit: 'Cel' };

/** 100 bottles of 0.33 L at 4.6 % (33 L, 1.518 L of pure alcohol), 20 kegs of 19 L at 5 %, a tank of 100 L at 5 %. */
async function cellar() {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [
      {
        mark: 'B-1',
        category: 'beer',
        count: 100,
        nominalLitres: 0.33,
        declaredPercent: 4.5,
        percent: 4.6,
        strengthU: 0.1,
      },
      {
        mark: 'K-1',
        category: 'cider',
        count: 20,
        nominalLitres: 19,
        declaredPercent: 5,
        percent: 5,
        strengthU: 0.05,
        container: 'keg',
      },
    ],
  );
  const [bottles, kegs] = stock.packaged;
  return { floor, bottles, kegs, cider: { lotId: stock.lots[0], vesselId: stock.vessels[0] } };
}

const EVENING = '2026-03-20T18:00:00Z';
const ask = (floor: Floor, body: object) => service.call('post', '/v1/stock-takes', { key: floor.key, body });
const takeOf = (floor: Floor, counts: object[], more: object = {}) =>
  floor.post('/v1/stock-takes', { premisesId: floor.premisesId, occurredAt: EVENING, counts, ...more }) as Promise<
    Record<string, unknown>
  > as unknown as Promise<StockTake>;
const release = (floor: Floor, packagedLotId: string, count: number, occurredAt: string) =>
  floor.post('/v1/movements', { kind: 'release', packagedLotId, count, occurredAt });
const march = async (floor: Floor) => ((await floor.get('/v1/periods')).items as { id: string }[])[0].id;
const reportOf = async (floor: Floor) =>
  (await floor.get(`/v1/periods/${await march(floor)}/report`)) as unknown as PeriodReport;
const held = async (floor: Floor) =>
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

test('each product beside the book figure of its moment; differences at the strength of the books, never netted', async () => {
  const { floor, bottles, kegs, cider } = await cellar();
  await release(floor, bottles, 40, '2026-03-10T12:00:00Z');
  // Sold after the stock-take and entered before it: the book figure of the moment is 60 bottles, not 50.
  await release(floor, bottles, 10, '2026-03-25T12:00:00Z');
  const made = await takeOf(floor, [
    { packagedLotId: bottles, count: 58 },
    { packagedLotId: kegs, count: 21, reasonCode: 'label-error', explanation: 'one stood in the yard' },
    {
      ...cider,
      volume: L(98),
      temperature: celsius,
      standardUncertainty: { value: 0.2, unit: 'L' },
      reasonCode: 'evaporation',
    },
  ]);
  // 60 bottles: 19.8 L and 0.9108 L of pure alcohol; two short: 0.66 L, 0.03036 L. A keg more: 19 L, 0.95 L. The tank: 2 L less, 0.1 L.
  expect(made.counts).toMatchObject([
    {
      count: 58,
      book: { value: 19.8 },
      counted: { value: 19.14 },
      difference: { value: -0.66 },
      differenceOfPureAlcohol: { value: -0.03036 },
      explained: false,
    },
    { count: 21, difference: { value: 19 }, differenceOfPureAlcohol: { value: 0.95 }, explained: true },
    { book: { value: 100 }, difference: { value: -2 }, differenceOfPureAlcohol: { value: -0.1 }, explained: true },
  ]);
  expect(await held(floor)).toEqual(
    new Map([
      [bottles, [15.84, 0.72864]],
      [kegs, [399, 19.95]],
      [cider.vesselId, [98, 4.9]],
    ]),
  );
  const kept = (await floor.get(`/v1/stock-takes/${made.id}`)) as unknown as StockTake;
  expect(kept.counts[1]).toEqual({ ...made.counts[1], explanation: 'one stood in the yard' });
  expect(((await floor.get('/v1/stock-takes')).items as StockTake[]).map(({ id }) => id)).toEqual([made.id]);
  expect(JSON.stringify(await floor.get('/v1/audit-trail?limit=200'))).not.toContain('stood in the yard');
  const report = await reportOf(floor);
  // A keg more; 0.66 L of bottles and 2 L of the tank less: 0.03036 L and 0.1 L of pure alcohol.
  expect(report.lines.find(({ line }) => line === 'stock-surplus')).toMatchObject({
    litres: { value: 19 },
    litresOfPureAlcohol: { value: 0.95 },
  });
  expect(report.lines.find(({ line }) => line === 'stock-shortage')).toMatchObject({
    litres: { value: -2.66 },
    litresOfPureAlcohol: { value: -0.13036 },
  });
  expect(
    report.stockDifferences.map(({ product, litres, explained }) => [
      product.replace(/^\d{8}-\d+, /, ''),
      litres.value,
      explained,
    ]),
  ).toEqual([
    ['B-1', -0.66, false],
    ['K-1', 19, true],
    ['T1', -2, true],
  ]);
  expect(report.stock.items.map(({ lastCountedAt }) => lastCountedAt)).toEqual(
    Array(3).fill('2026-03-20T18:00:00.000Z'),
  );
  expect(report.reconciliation.balances).toBe(true);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a count that finds what the books have is an assertion all the same', async () => {
  const { floor, bottles } = await cellar();
  const made = await takeOf(floor, [{ packagedLotId: bottles, count: 100 }]);
  expect(made.counts[0]).toMatchObject({ difference: { value: 0 }, explained: true });
  const refused = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: { kind: 'release', packagedLotId: bottles, count: 1, occurredAt: '2026-03-10T12:00:00Z' },
  });
  expect([refused.status, problemOf(refused).code, refused.body.operation]).toEqual([
    409,
    'assertion-in-the-way',
    made.counts[0].operationId,
  ]);
  await release(floor, bottles, 1, '2026-03-21T12:00:00Z');
  expect((await reportOf(floor)).stockDifferences).toEqual([]);
});

test('the uncertainty of a tank is that of its last measure; of containers, of their strength', async () => {
  const { floor, cider, kegs } = await cellar();
  await takeOf(floor, [
    { ...cider, volume: L(98), temperature: celsius, standardUncertainty: { value: 200, unit: 'mL' } },
    { packagedLotId: kegs, count: 10, reasonCode: 'counting-error' },
  ]);
  const items = (await reportOf(floor)).stock.items;
  const tank = items.find(({ vesselId }) => vesselId === cider.vesselId)?.expandedUncertainty;
  // A read temperature is ± 0.5 °C, rectangular: 0.5/√3 K × the expansion × 98 L. At 5 % vol R 22 has 2.15e-4 per kelvin.
  const density = (celsius: number) => ethanolWaterDensityKgM3(massFractionFromVolumePercent(5), celsius);
  const expansion = (density(19.5) - density(20.5)) / density(20);
  expect(expansion).toBeCloseTo(2.15e-4, 6);
  const uTank = 1.959964 * Math.hypot(0.2, expansion * (0.5 / Math.sqrt(3)) * 98);
  expect(Math.abs((tank?.litres.value ?? 0) - uTank)).toBeLessThan(2e-6);
  // 190 L of kegs at 5 ± 0.05 %: 0.095 L.
  const packed = items.find(({ packagedLotId }) => packagedLotId === kegs)?.expandedUncertainty;
  expect(packed).toMatchObject({ litres: { value: 0 }, litresOfPureAlcohol: { value: 0.186197 } });
});

test('all gone, part-full kegs, and bottles that turn up when the books have none', async () => {
  const { floor, bottles, kegs } = await cellar();
  const first = await takeOf(floor, [
    { packagedLotId: bottles, count: 0, reasonCode: 'recording-error' },
    { packagedLotId: kegs, count: 19, volume: L(7.5) },
  ]);
  expect(first.counts).toMatchObject([
    { difference: { value: -33 }, differenceOfPureAlcohol: { value: -1.518 } },
    { counted: { value: 368.5 }, difference: { value: -11.5 }, differenceOfPureAlcohol: { value: -0.575 } },
  ]);
  expect((await held(floor)).get(bottles)).toEqual([0, 0]);
  const later = await takeOf(floor, [{ packagedLotId: bottles, count: 6, reasonCode: 'counting-error' }], {
    occurredAt: '2026-03-22T18:00:00Z',
  });
  // At the strength at which they were filled: 1.98 L at 4.6 %.
  expect(later.counts[0]).toMatchObject({ difference: { value: 1.98 }, differenceOfPureAlcohol: { value: 0.09108 } });
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what cannot be counted so is refused with its code, and nothing is stored', async () => {
  const { floor, bottles, kegs, cider } = await cellar();
  const other = await cellar();
  const hill = await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
  const made = await takeOf(floor, [{ packagedLotId: bottles, count: 99 }]);
  const empty = await floor.vessel('T9');
  const bottle = { packagedLotId: bottles, count: 99 };
  const tank = { ...cider, volume: L(99) };
  const unknown = '018f0000-0000-7000-8000-000000000000';
  const at = { occurredAt: '2026-03-21T18:00:00Z' };
  const before = await service.rowCounts();
  const refusals: [name: string, counts: object[], more: object, status: number, code: string, pointer?: string][] = [
    ['twice in one', [bottle, bottle], at, 400, 'validation-failed', '/counts/1'],
    ['a tank twice', [tank, { ...tank, volume: L(1) }], at, 400, 'validation-failed', '/counts/1'],
    ['twice at one moment', [bottle], {}, 409, 'conflict', '/counts/0'],
    ['before a later count', [bottle], { occurredAt: '2026-03-19T18:00:00Z' }, 409, 'later-posting-in-the-way'],
    ['none', [], at, 422, 'not-computable', '/counts'],
    ['neither way', [{ reasonCode: 'breakage' }], at, 400, 'validation-failed', '/counts/0'],
    ['both ways', [{ ...bottle, ...tank }], at, 400, 'validation-failed', '/counts/0'],
    ['half of one', [{ packagedLotId: bottles }], at, 400, 'validation-failed', '/counts/0/count'],
    ['half of the other', [cider], at, 400, 'validation-failed', '/counts/0/volume'],
    ['count negative', [{ ...bottle, count: -1 }], at, 422, 'out-of-range', '/counts/0/count'],
    ['count fractional', [{ ...bottle, count: 1.5 }], at, 422, 'out-of-range', '/counts/0/count'],
    ['volume negative', [{ ...tank, volume: L(-1) }], at, 422, 'out-of-range'],
    ['unknown unit', [{ ...tank, volume: { value: 1, unit: 'pint' } }], at, 400, 'unit-unknown'],
    ['temperature of bottles', [{ ...bottle, temperature: celsius }], at, 400, 'validation-failed'],
    ['unknown packaged lot', [{ ...bottle, packagedLotId: unknown }], at, 404, 'not-found', '/counts/0/packagedLotId'],
    ['another producer’s', [{ ...bottle, packagedLotId: other.bottles }], at, 404, 'not-found'],
    ['unknown vessel', [{ ...tank, vesselId: unknown }], at, 404, 'not-found', '/counts/0/vesselId'],
    ['unknown instrument', [{ ...tank, instrumentId: unknown }], at, 404, 'not-found', '/counts/0/instrumentId'],
    ['unknown premises', [bottle], { ...at, premisesId: unknown }, 404, 'not-found', '/premisesId'],
    ['never on those premises', [bottle], { ...at, premisesId: hill.id }, 409, 'conflict', '/counts/0/packagedLotId'],
    ['vessel of other premises', [tank], { ...at, premisesId: hill.id }, 409, 'conflict', '/counts/0/vesselId'],
    ['nothing in the vessel', [{ ...tank, vesselId: empty }], at, 409, 'conflict', '/counts/0/vesselId'],
    ['duty paid, which there is none of', [{ ...bottle, dutyStatus: 'paid' }], at, 409, 'conflict'],
    ['six bottles too many', [{ ...bottle, count: 105 }], at, 409, 'reason-needed', '/counts/0/reasonCode'],
    ['a tenth of the tank', [{ ...tank, volume: L(12) }], at, 409, 'reason-needed', '/counts/0/reasonCode'],
    ['time ahead', [bottle], { occurredAt: '2026-04-02T08:06:00Z' }, 422, 'time-ahead'],
    ['before it was there', [bottle], { occurredAt: '2026-02-02T08:06:00Z' }, 409, 'conflict'],
    [
      'an hour before the books had it',
      [{ packagedLotId: kegs, count: 1 }],
      { occurredAt: '2026-03-01T07:00:00Z' },
      409,
      'conflict',
    ],
  ];
  for (const [name, counts, more, status, code, pointer] of refusals) {
    const refused = await ask(floor, { premisesId: floor.premisesId, occurredAt: EVENING, counts, ...more });
    const problem = problemOf(refused);
    expect([name, refused.status, problem.code]).toEqual([name, status, code]);
    if (pointer !== undefined) {
      expect([name, problem.errors?.map((error) => error.pointer)]).toEqual([name, expect.arrayContaining([pointer])]);
    }
  }
  expect(await service.rowCounts()).toEqual(before);
  const again = await ask(floor, { premisesId: floor.premisesId, occurredAt: EVENING, counts: [bottle] });
  expect((again.body.errors as { operation?: string }[])[0].operation).toBe(made.counts[0].operationId);
});

test('a count is corrected in one call, and reversed though later draws stand', async () => {
  const { floor, bottles } = await cellar();
  const made = await takeOf(floor, [{ packagedLotId: bottles, count: 90, reasonCode: 'counting-error' }]);
  await release(floor, bottles, 10, '2026-03-25T12:00:00Z');
  const operationId = made.counts[0].operationId;
  const right = await takeOf(floor, [{ packagedLotId: bottles, count: 99 }], {
    corrects: { operationId, reasonCode: 'wrong-count' },
  });
  expect((await held(floor)).get(bottles)).toEqual([29.37, 1.35102]);
  const [was] = ((await floor.get(`/v1/stock-takes/${made.id}`)) as unknown as StockTake).counts;
  expect(was.reversed).toBe(true);
  await floor.post(`/v1/operations/${right.counts[0].operationId}/reversal`, { reasonCode: 'did-not-happen' });
  expect((await held(floor)).get(bottles)).toEqual([29.7, 1.3662]);
  expect((await reportOf(floor)).stockDifferences).toEqual([]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('the same moment by two clients at once: one stands', async () => {
  const { floor, bottles } = await cellar();
  const body = { premisesId: floor.premisesId, occurredAt: EVENING, counts: [{ packagedLotId: bottles, count: 98 }] };
  const answers = await Promise.all([1, 2, 3, 4].map(() => ask(floor, body)));
  expect(answers.map(({ status }) => status).sort()).toEqual([201, 409, 409, 409]);
  expect((await held(floor)).get(bottles)).toEqual([32.34, 1.48764]);
});

test('a producer may forbid closing with an unexplained difference', async () => {
  const { floor, bottles, kegs } = await cellar();
  const made = await takeOf(floor, [
    { packagedLotId: bottles, count: 98 },
    { packagedLotId: kegs, count: 19, reasonCode: 'recording-error' },
  ]);
  const period = await march(floor);
  const findings = async () =>
    ((await floor.get(`/v1/periods/${period}/closing-check`)) as unknown as ClosingCheck).findings.filter(
      ({ code }) => code === 'unexplained-difference',
    );
  expect(await findings()).toMatchObject([{ blocks: false, link: `/v1/operations/${made.counts[0].operationId}` }]);
  const producer = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
  const { settings } = producer.body as { settings: object };
  await service.expect(200, 'patch', '/v1/producer', {
    key: floor.key,
    headers: { 'if-match': String(producer.headers.etag) },
    body: { settings: { ...settings, allowUnexplainedDifferences: false } },
  });
  expect(await findings()).toMatchObject([{ blocks: true }]);
  const before = await service.rowCounts();
  const refused = await service.call('post', `/v1/periods/${period}/closing`, { key: floor.key, body: {} });
  expect([refused.status, problemOf(refused).code]).toEqual([409, 'conflict']);
  expect(await service.rowCounts()).toEqual(before);
  await takeOf(floor, [{ packagedLotId: bottles, count: 98, reasonCode: 'breakage' }], {
    corrects: { operationId: made.counts[0].operationId, reasonCode: 'did-not-happen' },
  });
  await floor.post(`/v1/periods/${period}/closing`, {});
});

test('a shortage is set off against a surplus only as a pair, with its reason in writing, where the setting allows it', async () => {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const bottled = (mark: string, category: string) => ({
    mark,
    category,
    count: 100,
    nominalLitres: 0.5,
    declaredPercent: 5,
    percent: 5,
    strengthU: 0.1,
  });
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [bottled('B-1', 'beer'), bottled('B-2', 'beer'), bottled('C-1', 'cider')],
  );
  const [first, second, cider] = stock.packaged;
  const person = String((await floor.post('/v1/people', { name: 'B. Clerk (invented)' })).id);
  const counts = [
    { packagedLotId: first, count: 96, investigatedBy: person },
    { packagedLotId: second, count: 103 },
    { packagedLotId: cider, count: 101 },
  ];
  const pair = { shortage: 0, surplus: 1, reason: 'Three bottles of B-1 stood among those of B-2.' };
  const body = { premisesId: floor.premisesId, occurredAt: EVENING, countSheet: 'SHEET-0001', counts };
  const refusal = async (offsets: object[]) => {
    const before = await service.rowCounts();
    const answer = await ask(floor, { ...body, offsets });
    expect(await service.rowCounts()).toEqual(before);
    return [answer.status, problemOf(answer).errors?.map(({ pointer, rule }) => `${pointer} ${rule}`)];
  };
  expect(await refusal([pair])).toEqual([409, ['/offsets not-allowed']]);
  const producer = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
  const headers = { 'if-match': String(producer.headers.etag) };
  const { settings } = producer.body as { settings: object };
  await service.expect(200, 'patch', '/v1/producer', {
    key: floor.key,
    body: { settings: { ...settings, allowStockOffsets: true } },
    headers,
  });
  expect(await refusal([{ ...pair, surplus: 2 }])).toEqual([400, ['/offsets/0 other-goods']]);
  expect(await refusal([{ ...pair, shortage: 1, surplus: 0 }])).toEqual([400, ['/offsets/0 no-pair']]);
  expect(await refusal([pair, pair])).toEqual([400, ['/offsets/1 not-unique']]);
  expect(await refusal([{ ...pair, surplus: 9 }])).toEqual([400, ['/offsets/0 no-such-count']]);
  expect(await refusal([{ ...pair, reason: '' }])).toEqual([400, ['/offsets/0/reason length']]);
  const taken = (await floor.post('/v1/stock-takes', { ...body, offsets: [pair] })) as unknown as StockTake;
  // Four bottles short, three over: 1.5 L are set off, 0.5 L stay short. By hand.
  const offset = { operationId: taken.counts[1].operationId, litres: L(1.5), reason: pair.reason };
  expect(taken).toMatchObject({
    countSheet: 'SHEET-0001',
    counts: [{ difference: L(-2), offset, investigatedBy: person }, { difference: L(1.5) }, { difference: L(0.5) }],
  });
  const read = (await floor.get(`/v1/stock-takes/${taken.id}`)) as unknown as StockTake;
  expect(read.counts.map((each) => each.offset)).toEqual(taken.counts.map((each) => each.offset));
  const report = await reportOf(floor);
  expect(
    report.stockDifferences.map(({ book, counted, litres, countSheet }) => [
      book.value,
      counted.value,
      litres.value,
      countSheet,
    ]),
  ).toEqual([
    [50, 48, -2, 'SHEET-0001'],
    [50, 51.5, 1.5, 'SHEET-0001'],
    [50, 50.5, 0.5, 'SHEET-0001'],
  ]);
  expect(report.stockDifferences[0]).toMatchObject({ offset, investigatedBy: person });
  expect(report.deficiency.lines).toMatchObject([{ category: 'beer', lost: L(0.5) }]);
  // The surplus is taken back: nothing is set off any more.
  await floor.post(`/v1/operations/${taken.counts[1].operationId}/reversal`, { reasonCode: 'wrong-count' });
  expect((await reportOf(floor)).deficiency.lines).toMatchObject([{ category: 'beer', lost: L(2) }]);
});
