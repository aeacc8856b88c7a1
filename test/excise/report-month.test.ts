import { createHash } from 'node:crypto';
import { parse } from 'csv-parse/sync';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { REPORT_LINES } from '../../src/ledger/figures/report-lines.js';
import type { Figures } from '../../src/ledger/books/litres.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import type { Month } from './month.js';
import { marchMovements, marchStock } from './month.js';

let service: TestService;
let floor: Floor;
let month: Month;
let periodId: string;
let report: PeriodReport;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  month = await marchStock(floor);
  await marchMovements(floor, month);
  periodId = ((await floor.get('/v1/periods')).items as { id: string }[])[0].id;
  report = (await floor.get(`/v1/periods/${periodId}/report`)) as unknown as PeriodReport;
});
afterAll(() => service.stop());

/** The month by hand: line, litres, litres of pure alcohol, and U of both from the budgets of the opening. */
// The normal quantile at 97.5 %, which JCGM 100 Table G.2 prints as 1.960.
const k = 1.959964;
const rss = (...parts: number[]) => Math.sqrt(parts.reduce((sum, part) => sum + part * part, 0));
// Tank of cider: 100 L ± 0.5 at 5 ± 0.1 %: 0.5 L carry 0.025 L of pure alcohol, the strength 0.1 L. What is measured out of it is as sure as
// its strength; what the gauge was unsure by stays with what is left.
const tank = (litres: number) => [0, k * 0.1 * (litres / 100)];
// 330 L of beer at 4.6 ± 0.1 %: 0.33 L; ten kegs at 5 ± 0.05 %: 0.095 L; containers are counted.
const beer = (litres: number) => [0, k * 0.33 * (litres / 330)];
const kegs = (litres: number) => [0, k * 0.095 * (litres / 190)];
const BY_HAND: Record<string, [litres: number, lpa: number, uLitres: number, uLpa: number]> = {
  released: [-99, -4.554, ...(beer(99) as [number, number])],
  'dispatched-suspended': [-38, -1.9, ...(kegs(38) as [number, number])],
  exported: [-33, -1.518, ...(beer(33) as [number, number])],
  samples: [-0.5, -0.025, ...(tank(0.5) as [number, number])],
  'own-use': [-1.98, -0.09108, ...(beer(1.98) as [number, number])],
  'process-loss': [-1, -0.05, ...(tank(1) as [number, number])],
  'packaging-loss': [-3.3, -0.1518, ...(beer(3.3) as [number, number])],
  'accidental-loss': [-10, -0.5, ...(tank(10) as [number, number])],
  theft: [-19, -0.95, ...(kegs(19) as [number, number])],
  'transit-loss': [-0.66, -0.03036, ...(beer(0.66) as [number, number])],
  destroyed: [-1.65, -0.0759, ...(beer(1.65) as [number, number])],
};
const OPENING: [number, number, number, number] = [820, 29.68, k * rss(0.5, 1), k * rss(0.025, 0.1, 0.33, 0.095)];
const CLOSING: [number, number, number, number] = [
  611.91,
  19.83386,
  k * rss(0.5, 1),
  k * rss(0.025, 0.1 * 0.885, 0.33 * (190.41 / 330), 0.095 * (133 / 190)),
];

function expectFigures(figures: Figures, [litres, lpa, uLitres, uLpa]: [number, number, number, number]): void {
  expect(figures.litres).toEqual({ value: litres, unit: 'L' });
  expect(figures.litresOfPureAlcohol).toEqual({ value: lpa, unit: 'L' });
  expect(figures.fermented).toEqual({ value: lpa, unit: 'L' });
  expect(figures.added).toEqual({ value: 0, unit: 'L' });
  expect(Math.abs(figures.expandedUncertainty.litres.value - uLitres)).toBeLessThanOrEqual(1e-6);
  expect(Math.abs(figures.expandedUncertainty.litresOfPureAlcohol.value - uLpa)).toBeLessThanOrEqual(1e-6);
}

test('every line of the month is what it is by hand, its uncertainty too; empty lines stand there', () => {
  expect(report.lines.map(({ line }) => line)).toEqual([...REPORT_LINES]);
  for (const line of report.lines) {
    expectFigures(line, BY_HAND[line.line] ?? [0, 0, 0, 0]);
  }
  expectFigures(report.opening, OPENING);
  expect(report.opening.source).toBe('first-period');
  expectFigures(report.closing, CLOSING);
});

test('the reconciliation balances to the last decimal, in all and by category', () => {
  expect(report.reconciliation).toMatchObject({
    opening: { litres: { value: 820 }, fermented: { value: 29.68 }, added: { value: 0 } },
    flows: { litres: { value: -208.09 }, fermented: { value: -9.84614 }, added: { value: 0 } },
    closing: { litres: { value: 611.91 }, fermented: { value: 19.83386 }, added: { value: 0 } },
    difference: { litres: { value: 0 }, fermented: { value: 0 }, added: { value: 0 } },
    balances: true,
  });
  const closing = report.categories.map(({ category, closing, balances }) => [
    category,
    closing.litres.value,
    balances,
  ]);
  expect(closing).toEqual([
    ['beer', 190.41, true],
    ['cider', 221.5, true],
    ['sugar-ferment', 200, true],
  ]);
});

test('stock by stage, by standing and item by item', () => {
  const stages = Object.fromEntries(report.stock.byStage.map((each) => [each.stage, each.litres.value]));
  expect(stages).toEqual({ materials: 0, cellar: 288.5, racking: 0, keg: 0, bottling: 0, packed: 323.41 });
  const standings = Object.fromEntries(
    report.stock.byProductionState.map((each) => [each.productionState, each.litres.value]),
  );
  expect(standings).toEqual({ material: 0, 'in-process': 200, finished: 411.91 });
  const items = report.stock.items.map(({ description, count, litres, bookStrength }) => [
    description.replace(/^\d{8}-\d+, /, ''),
    count,
    litres.value,
    bookStrength?.value,
  ]);
  expect(items.sort()).toEqual(
    [
      ['T1', undefined, 88.5, 5],
      ['F1', undefined, 200, 0],
      ['B-1, bottle of 0.33 L', 577, 190.41, 4.6],
      ['K-1, keg of 19 L', 7, 133, 5],
    ].sort(),
  );
});

test('releases for duty stand beside the books, with the tie', () => {
  const [release, ownUse] = report.duty.releases;
  expect(release).toMatchObject({
    kind: 'release',
    dutyDate: '2026-03-05',
    count: 300,
    litres: { value: 99 },
    strengthForDuty: { value: 4.5, unit: '%' },
    litresOfPureAlcoholForDuty: { value: 4.455 },
    litresOfPureAlcoholInBooks: { value: 4.554 },
  });
  expect(ownUse).toMatchObject({ litresOfPureAlcoholForDuty: { value: 0.0891 } });
  expect(report.duty).toMatchObject({
    litres: { value: 100.98 },
    litresOfPureAlcoholForDuty: { value: 4.5441 },
    litresOfPureAlcoholInBooks: { value: 4.64508 },
    tie: { litres: { value: 0 }, litresOfPureAlcohol: { value: -0.10098 }, balances: true },
  });
});

test('each loss with its date and reason; lots in process with what is known of them', () => {
  expect(report.losses.map(({ line, day, reasonCode }) => [line, day, reasonCode])).toEqual([
    ['process-loss', '2026-03-10', undefined],
    ['packaging-loss', '2026-03-11', undefined],
    ['accidental-loss', '2026-03-12', 'leak'],
    ['theft', '2026-03-13', 'theft'],
    ['transit-loss', '2026-03-14', 'breakage'],
    ['destroyed', '2026-03-15', 'spoilage'],
  ]);
  expect(report.lotsInProcess).toHaveLength(1);
  expect(report.lotsInProcess[0]).toMatchObject({ standing: 'none', litres: { value: 200 } });
});

test('every figure leads to operations that add up to it', async () => {
  const opening = { ...report.opening, line: 'opening', operations: String(report.opening.operations) };
  const named = [opening, ...report.lines.filter(({ line }) => line !== 'opening')];
  for (const line of named) {
    const page = await floor.get(`${line.operations}&limit=200`);
    const operations = page.items as { postings: { kind: string; side: string; litres: { value: number } }[] }[];
    const litres = operations
      .flatMap(({ postings }) => postings)
      .filter(({ side, kind }) => side === 'nominal' && kind === line.line)
      .reduce((sum, posting) => sum - posting.litres.value, 0);
    expect(litres).toBeCloseTo(line.litres.value, 9);
    expect(operations.length > 0).toBe(line.litres.value !== 0);
  }
  for (const item of report.stock.items) {
    const page = await floor.get(`${item.operations}&limit=200`);
    const litres = (page.items as { postings: { accountId: string; litres: { value: number } }[] }[])
      .flatMap(({ postings }) => postings)
      .filter(({ accountId }) => accountId === item.accountId)
      .reduce((sum, posting) => sum + posting.litres.value, 0);
    expect(litres).toBeCloseTo(item.litres.value, 9);
  }
});

test('who, where, head, versions and what the figures are not', async () => {
  const check = await floor.get('/v1/audit-trail/check');
  expect(report.trail).toEqual({ sequence: check.entries, hash: check.head });
  expect(report).toMatchObject({
    status: 'provisional',
    producer: { name: 'Invented Drinks', simulated: false },
    premises: { id: floor.premisesId, name: 'Mill Lane' },
    period: {
      startsOn: '2026-03-01',
      endsBefore: '2026-04-01',
      startsAt: '2026-03-01T00:00:00.000Z',
      endsAt: '2026-03-31T23:00:00.000Z',
      timeZone: 'Europe/London',
    },
    versions: {
      program: '0.1.0',
      methods: [{ id: 'opening-statement', version: '1.0.0' }],
      ruleSet: { id: 'declared-strength', version: '1' },
    },
  });
  expect(report.statement.join(' ')).toContain('Local law and licensed practice decide');
});

test('no name and no word about a person stands in the report', () => {
  expect(JSON.stringify(report)).not.toMatch(/A shop|A warehouse/);
});

test('JSON and CSV are two formats of one document; the digest is that of the bytes', async () => {
  const path = `/v1/periods/${periodId}/report`;
  const json = await service.expect(200, 'get', path, { key: floor.key });
  const sha = (text: string) => createHash('sha256').update(text);
  expect(json.headers['content-type']).toBe('application/json; charset=utf-8');
  expect(json.headers.etag).toBe(`"${sha(json.text).digest('hex')}"`);
  expect(json.headers['content-digest']).toBe(`sha-256=:${sha(json.text).digest('base64')}:`);
  const asked = await service.expect(200, 'get', `${path}?format=csv`, { key: floor.key });
  const accepted = await service.expect(200, 'get', path, { key: floor.key, headers: { accept: 'text/csv' } });
  expect(accepted.text).toBe(asked.text);
  expect(asked.headers['content-type']).toBe('text/csv; charset=utf-8');
  expect(asked.headers['report-hash']).toBe(sha(json.text).digest('hex'));
  const rows = parse<Record<string, string>>(asked.text, { columns: true });
  expect(asked.text.split('\r\n').length).toBe(rows.length + 2);
  const released = rows.find(({ table, line }) => table === 'balance' && line === 'released');
  expect(released).toMatchObject({ litres: '-99', litres_of_pure_alcohol: '-4.554' });
  const nothing = await service.call('get', path, { key: floor.key, headers: { accept: 'text/html' } });
  expect([nothing.status, (nothing.body as { code: string }).code]).toEqual([406, 'not-acceptable']);
  await service.expect(200, 'get', path, { key: floor.key, headers: { accept: 'text/html, */*;q=0.1' } });
  await service.expect(400, 'get', `${path}?format=docx`, { key: floor.key });
});

test('a report is another producer’s secret', async () => {
  const other = await service.newProducer('Other');
  await service.expect(404, 'get', `/v1/periods/${periodId}/report`, { key: other.key });
  await service.expect(404, 'get', `/v1/periods/${periodId}/closing-check`, { key: other.key });
  await service.expect(404, 'post', `/v1/periods/${periodId}/closing`, { key: other.key });
});

test('words that begin like a formula stay words in the CSV, negative numbers stay numbers', async () => {
  const evil = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const lotId = await evil.lot('=HYPERLINK("x";"y")');
  await evil.post('/v1/openings', {
    premisesId: evil.premisesId,
    occurredAt: '2026-03-01T08:00:00Z',
    packaged: [
      {
        lotId,
        container: 'bottle',
        nominalVolume: { value: 1, unit: 'L' },
        count: 10,
        lotMark: '@SUM(A1:A9), "quoted"',
        declaredStrength: { value: 5, unit: '%' },
        packagedOn: '2026-03-01',
      },
    ],
  });
  const [period] = (await evil.get('/v1/periods')).items as { id: string }[];
  const csv = await service.expect(200, 'get', `/v1/periods/${period.id}/report?format=csv`, { key: evil.key });
  const rows = parse<Record<string, string>>(csv.text, { columns: true });
  const item = rows.find(({ table }) => table === 'stock');
  expect(item).toMatchObject({
    category: `'=HYPERLINK("x";"y")`,
    description: `'@SUM(A1:A9), "quoted", bottle of 1 L`,
    litres: '10',
  });
  const texts = ['table', 'line', 'category', 'description', 'operations', 'lot', 'value'];
  for (const row of rows) {
    texts.forEach((column) => expect(row[column]).not.toMatch(/^[=+\-@\t\r]/));
  }
});
