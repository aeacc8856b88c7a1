import { parse } from 'csv-parse/sync';
import type { PeriodEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import { definition as reportPdf } from '../../src/excise/reporting/period/report-pdf.js';
import { reportTables } from '../../src/excise/reporting/period/report-tables.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { changeSettings, chargeableMarch } from './chargeable-world.js';

let service: TestService;
let floor: Floor;
let periodId: string;
let report: PeriodReport;

const reportOf = async (of: Floor, id: string) => (await of.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  ({ floor, periodId } = await chargeableMarch(service, [
    { line: 'stock-difference', freeReasons: ['breakage', 'counting-error'] },
    { line: 'packaging-loss', allowance: { value: 1, unit: '%' } },
  ]));
  report = await reportOf(floor, periodId);
});
afterAll(() => service.stop());

const sides = (name: string) => {
  const tie = report.ties.find((each) => each.name === name);
  const items = (side: 'inputs' | 'outputs') =>
    Object.fromEntries(
      tie?.[side].map((each) => [each.name, [each.litres.value, each.litresOfPureAlcohol.value]]) ?? [],
    );
  return { inputs: items('inputs'), outputs: items('outputs'), difference: tie?.difference, balances: tie?.balances };
};
const NOTHING = { value: 0, unit: 'L' };
const NO_DIFFERENCE = { litres: NOTHING, litresOfPureAlcohol: NOTHING, fermented: NOTHING, added: NOTHING };

test('drawn to pack against packed, fill difference and loss; vessel to vessel against its loss', () => {
  expect(sides('packaging')).toEqual({
    inputs: { 'from cellar': [76, 3.8] },
    outputs: {
      'line fill-difference': [0.3, 0.015],
      'line packaging-loss': [0.7, 0.035],
      'to packed': [75, 3.75],
    },
    difference: NO_DIFFERENCE,
    balances: true,
  });
  expect(sides('transfer')).toMatchObject({
    inputs: { 'from cellar': [24, 1.2] },
    outputs: { 'line process-loss': [0.5, 0.025], 'to cellar': [23.5, 1.175] },
    balances: true,
  });
  expect(report.ties.map(({ name }) => name)).toEqual(['packaging', 'transfer']);
  // 75 L are counted: as sure as their strength, 0.1 % vol of them, k = 1.959964.
  const packed = report.ties[0].outputs.find(({ name }) => name === 'to packed');
  expect(packed?.expandedUncertainty?.litresOfPureAlcohol.value).toBeCloseTo(1.959964 * 0.075, 6);
});

test('each stage from opening to closing', () => {
  const stage = (name: string) => {
    const each = report.stages.find((row) => row.stage === name);
    return [each?.opening, each?.in, each?.out, each?.closing].map((figures) => figures?.litres.value);
  };
  // Cellar: opens with 100; 76 drawn to pack and 0.5 lost. Packed: opens with 330, 75 in, half a litre found; 99, 6.6 and 3.3 out.
  expect(stage('cellar')).toEqual([100, 0, -76.5, 23.5]);
  expect(stage('packed')).toEqual([330, 75.5, -108.9, 296.6]);
  expect(stage('racking')).toEqual([0, 0, 0, 0]);
  expect(report.stages.every(({ balances }) => balances)).toBe(true);
});

test('shortages and losses beyond the allowance, in litres, pure alcohol and for duty', () => {
  const { deficiency } = report;
  const lines = deficiency.lines.map((each) => [
    each.line,
    each.category,
    each.lost.value,
    each.allowanceBase.value,
    each.allowance.value,
    each.litres.value,
    each.litresOfPureAlcohol.value,
    each.litresOfPureAlcoholForDuty.value,
  ]);
  // Ten bottles without a reason: 3.3 L at 4.6 %; for duty 4.55 cut to 4.5 %. The surplus of cider counts nowhere.
  // Twenty broken: 6.6 L, 1 % of the 330 L that came in are free. The run's 0.7 L of cider: 1 % of 100.5 L is more.
  expect(lines).toEqual([
    ['stock-difference', 'beer', 3.3, 330, 0, 3.3, 0.1518, 0.1485],
    ['packaging-loss', 'cider', 0.7, 100.5, 1.005, 0, 0, 0],
    ['packaging-loss', 'beer', 6.6, 330, 3.3, 3.3, 0.1518, 0.1485],
  ]);
  expect(deficiency).toMatchObject({
    litres: { value: 6.6 },
    litresOfPureAlcohol: { value: 0.3036 },
    litresOfPureAlcoholForDuty: { value: 0.297 },
    // 0.297 × 21.78 = 6.46866, cut.
    money: [{ currency: 'GBP', amount: '6.46' }],
    complete: true,
    unexplainedDifferences: 1,
  });
  expect(deficiency.entries.map(({ line, day, band }) => [line, day, band])).toEqual([
    ['stock-difference', '2026-03-20', '3.5-8.4'],
    ['packaging-loss', '2026-03-12', '3.5-8.4'],
  ]);
  // What is chargeable for losses is not in the duty of releases.
  expect(report.duty.litresOfPureAlcoholForDuty.value).toBe(4.455);
});

test('what is entered later than the producer’s days is listed', () => {
  expect(report.lateEntries.afterDays).toBe(14);
  expect(report.lateEntries.entries.map(({ kind, daysLate }) => [kind, daysLate])).toEqual([
    ['opening', 32],
    ['packaging', 27],
    ['transfer', 26],
    ['movement', 22],
    ['movement', 20],
  ]);
});

test('a loss that is reversed is not chargeable; a rule that is changed is that of the next report', async () => {
  const other = await chargeableMarch(service, [{ line: 'packaging-loss' }]);
  const before = await reportOf(other.floor, other.periodId);
  expect(before.deficiency.litres.value).toBe(7.3);
  const loss = before.losses.find(({ category, line }) => category === 'beer' && line === 'packaging-loss');
  await changeSettings(other.floor, { chargeableLosses: [] });
  expect((await reportOf(other.floor, other.periodId)).deficiency).toMatchObject({
    rules: [],
    lines: [],
    litres: { value: 0 },
  });
  await changeSettings(other.floor, { chargeableLosses: [{ line: 'packaging-loss' }, { line: 'stock-difference' }] });
  const take = (await other.floor.get('/v1/stock-takes')).items as { counts: { operationId: string }[] }[];
  await other.floor.post(`/v1/operations/${take[0].counts[0].operationId}/reversal`, { reasonCode: 'did-not-happen' });
  await other.floor.post(`/v1/operations/${String(loss?.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  const after = await reportOf(other.floor, other.periodId);
  expect(after.deficiency.lines.map(({ line, category }) => [line, category])).toEqual([['packaging-loss', 'cider']]);
  expect(after.stages.every(({ balances }) => balances)).toBe(true);
});

test('a line that is there twice is refused, and nothing is changed', async () => {
  const producer = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
  const { settings } = producer.body as { settings: object };
  const before = await service.rowCounts();
  const refused = await service.call('patch', '/v1/producer', {
    key: floor.key,
    headers: { 'if-match': String(producer.headers.etag) },
    body: {
      settings: {
        ...settings,
        chargeableLosses: [{ line: 'theft' }, { line: 'theft', allowance: { value: 1, unit: '%' } }],
      },
    },
  });
  expect([refused.status, problemOf(refused).code]).toEqual([400, 'validation-failed']);
  expect(JSON.stringify(refused.body)).toContain('/settings/chargeableLosses/1/line');
  expect(await service.rowCounts()).toEqual(before);
});

test('everything about duty, ties and losses is in each format', async () => {
  const path = `/v1/periods/${periodId}/report`;
  const csv = parse<Record<string, string>>(
    (await service.expect(200, 'get', `${path}?format=csv`, { key: floor.key })).text,
    { columns: true },
  );
  const row = (table: string, cells: Record<string, string>) =>
    csv.find((each) => each.table === table && Object.entries(cells).every(([name, value]) => each[name] === value));
  expect(row('duty-groups', { money: '97.02', currency: 'GBP' })).toBeDefined();
  expect(row('duty-rounding', { step: 'duty cut to the penny' })).toMatchObject({ raw: '97.0299', result: '97.02' });
  expect(row('deficiency', { line: 'packaging-loss' })).toBeDefined();
  expect(row('duty-sums', { sum: 'duty paid before, not charged again' })).toMatchObject({
    releases: '0',
    litres: '0',
  });
  expect(row('releases', { declared_percent: '4.55', measured_percent: '4.6' })).toBeDefined();
  expect(row('stock-differences', { explained: 'false' })).toMatchObject({ litres: '-3.3' });
  expect(row('late-entries', { kind: 'opening' })).toMatchObject({ days_late: '32' });
  expect(csv.filter(({ table }) => table === 'ties').length).toBeGreaterThan(8);
  expect(row('stock', { last_counted_at: '2026-03-20T12:00:00.000Z' })).toBeDefined();

  const tables = new Map(reportTables(report).map((each) => [each.name, JSON.stringify(each)]));
  expect(tables.get('duty-rounding')).toContain('97.0299');
  expect(tables.get('duty-groups')).toContain('97.02');
  expect(tables.get('duty-flags')).toContain('detail');
  expect(tables.get('releases')).toContain('4.55');
  expect(tables.get('stock')).toContain('2026-03-20T12:00:00.000Z');
  expect(tables.get('ties')).toContain('fill-difference');
  expect(tables.get('deficiency')).toContain('0.297');
  // A sum that is nothing stands in the CSV and not on the page.
  expect(tables.get('duty-sums')).toContain('duty paid before');
  expect(tables.get('late-entries')).toContain('opening');
  for (const { columns, rows } of reportTables(report)) {
    const names = new Set([...Object.keys(columns), 'emphasised', 'csvOnly']);
    expect(rows.flatMap((each) => Object.keys(each)).filter((name) => !names.has(name))).toEqual([]);
  }

  const evidence = (await floor.get(`/v1/periods/${periodId}/evidence`)) as unknown as PeriodEvidence;
  const { content } = reportPdf({ report, hash: 'a'.repeat(64), evidence, at: new Date('2026-04-02T10:00:00Z') });
  const text = JSON.stringify(content).replaceAll('\u200b', '');
  for (const part of [
    '97.0299',
    '97.02 GBP',
    '21.78',
    'Declared against measured',
    'Alcohol by origin',
    'Chargeable deficiency',
    '"text":"no","bold":true',
    'Last physical count of each product',
    'Late entries',
    'line “fill difference”',
    report.trail.hash,
    report.versions.program,
    report.duty.rule.description,
  ]) {
    expect(text).toContain(part);
  }
});
