import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { ProductionYear } from '../../src/excise/reporting/production-year/production-year.dto.js';
import { definition } from '../../src/excise/reporting/production-year/production-year-pdf.js';
import { lastMonths, monthsOf, yearDays } from '../../src/excise/reporting/production-year/year-days.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { queriesOf } from '../support/queries.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-05-02T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;
const L = (value: number) => ({ value, unit: 'L' });
const hL = (value: number) => ({ value, unit: 'hL' });
const percent = (value: number) => ({ value, unit: '%' });
const MONTHS = ['01', '02', '03', '04', '05', '06'].map((month) => `2026-${month}-01`);
const UK = { firstMonth: 2 };
const amount = (volume: number, pureAlcohol: number) => ({ volume: hL(volume), pureAlcohol: hL(pureAlcohol) });

async function settings(floor: Floor, productionYear: Json) {
  const now = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
  const body = { settings: { ...(now.body as { settings: Json }).settings, productionYear } };
  return service.call('patch', '/v1/producer', { key: floor.key, body, headers: { 'if-match': now.headers.etag } });
}

const open = (): Promise<Floor> =>
  Floor.open(
    service,
    MONTHS.slice(0, 5).map((day, index): [string, string] => [day, MONTHS[index + 1]]),
  );

/** A lot of whole litres with a certificate: 200 L of 5.00 % hold 10 L of pure alcohol. */
async function made(floor: Floor, litres: number, strength: number, day: string, more: Json = {}) {
  const vesselId = await floor.vessel(`V ${day} ${litres}`);
  const lotId = await floor.lot('cider', more);
  await floor.gravity(lotId, 1.045, `${day}T06:00:00Z`);
  await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: L(litres), occurredAt: `${day}T07:00:00Z` });
  const certificate = { strength: percent(strength), expandedUncertainty: percent(0.1), coverageFactor: 2 };
  await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'certificate',
    certificate,
    occurredAt: `${day}T20:00:00Z`,
  });
  return { vesselId, lotId };
}

/** January 300 L of 4 % own; February 200 L of 5 % own; March 100 L of 6 % for another; April 50 L of 8 % own, a third category. */
async function spring() {
  const floor = await open();
  await made(floor, 300, 4, '2026-01-10');
  const february = await made(floor, 200, 5, '2026-02-10');
  await made(floor, 100, 6, '2026-03-10', { owner: 'Weir Drinks (invented)' });
  await made(floor, 50, 8, '2026-04-10', { category: 'perry' });
  return { floor, february };
}

const yearOf = async (floor: Floor, year = 2026): Promise<ProductionYear> =>
  (await floor.get(`/v1/production-years/${year}`)) as unknown as ProductionYear;

test('years, and the months before the present one', () => {
  const now = new Date('2026-01-15T00:00:00Z');
  expect(yearDays(2025, 2, now)).toEqual({ year: 2025, startsOn: '2025-02-01', endsBefore: '2026-02-01' });
  expect(yearDays(undefined, 2, now).year).toBe(2025);
  expect(yearDays(undefined, undefined, now)).toEqual({ year: 2026, startsOn: '2026-01-01', endsBefore: '2027-01-01' });
  expect(yearDays(undefined, 1, new Date('2025-12-31T23:59:59Z')).year).toBe(2025);
  expect(lastMonths(now)).toEqual({ year: 2025, startsOn: '2025-01-01', endsBefore: '2026-01-01' });
  expect(monthsOf(yearDays(2025, 12, now)).slice(0, 2)).toEqual(['2025-12-01', '2026-01-01']);
});

test('by month, own and for others, by hand: litres × strength', async () => {
  const { floor } = await spring();
  expect((await settings(floor, UK)).status).toBe(200);
  const year = await yearOf(floor);
  expect([year.startsOn, year.endsBefore, year.basis]).toEqual(['2026-02-01', '2027-02-01', 'produced']);
  const none = amount(0, 0);
  // 200 × 5 % = 10 L; 100 × 6 % = 6 L; 50 × 8 % = 4 L. January lies before the year.
  expect(year.months.slice(0, 4)).toEqual([
    { month: '2026-02', own: amount(2, 0.1), licensed: none },
    { month: '2026-03', own: none, licensed: amount(1, 0.06) },
    { month: '2026-04', own: amount(0.5, 0.04), licensed: none },
    { month: '2026-05', own: none, licensed: none },
  ]);
  expect(year.months).toHaveLength(12);
  expect(year.categories.map(({ category, own, licensed }) => [category, own, licensed])).toEqual([
    ['cider', amount(2, 0.1), amount(1, 0.06)],
    ['perry', amount(0.5, 0.04), none],
  ]);
  expect(year.licensedFor).toEqual([{ owner: 'Weir Drinks (invented)', ...amount(1, 0.06) }]);
  // 6 of 20 L.
  expect(year.total).toMatchObject({
    own: amount(2.5, 0.14),
    licensed: amount(1, 0.06),
    group: none,
    licensedShare: 0.3,
  });
  expect(year.total.all).toEqual(amount(3.5, 0.2));
  expect(year.total.expandedUncertainty.pureAlcohol.value).toBeGreaterThan(0);
  // January to April: 12 + 10 + 6 + 4 = 32 L in four months, 96 L a year.
  expect(year.estimate).toMatchObject({ year: 2027, from: '2026-01-01', before: '2026-05-01', months: 4 });
  expect(year.estimate?.all.pureAlcohol).toEqual(hL(0.96));
  expect(year.estimate?.method).toMatch(/^Production of the last 4 whole months .*, times 12 and divided by 4; /);
  expect((await yearOf(floor, 2025)).months.at(-1)).toMatchObject({ month: '2026-01', own: amount(3, 0.12) });
});

test('the months are the lines of the reports', async () => {
  const { floor, february } = await spring();
  await floor.post(`/v1/lots/${february.lotId}/gauges`, {
    vesselId: february.vesselId,
    volume: L(190),
    occurredAt: '2026-02-20T08:00:00Z',
  });
  const { months } = await yearOf(floor);
  const periods = (await floor.get('/v1/periods')).items as { id: string }[];
  for (const [index, { id }] of periods.entries()) {
    const { lines } = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
    const own = lines.filter(({ line }) => line === 'produced' || line === 're-measurement');
    const sum = own.reduce((all, { litresOfPureAlcohol: { value } }) => all + value, 0);
    const { own: ours, licensed } = months[index];
    expect([index, (ours.pureAlcohol.value + licensed.pureAlcohol.value).toFixed(8)]).toEqual([
      index,
      (sum / 100).toFixed(8),
    ]);
  }
});

test('what is packaged counts by the run, less what a reversal or a difference took back', async () => {
  const { floor, february } = await spring();
  await settings(floor, { basis: 'packaged', categories: ['cider'] });
  expect((await yearOf(floor)).total.all).toEqual(amount(0, 0));
  const run = (count: number, day: string) =>
    floor.post(`/v1/lots/${february.lotId}/packagings`, {
      vesselId: february.vesselId,
      container: 'bottle',
      nominalVolume: L(0.5),
      count,
      emptied: false,
      declaredStrength: percent(5),
      occurredAt: `${day}T09:00:00Z`,
    });
  const first = await run(100, '2026-03-05');
  const wrong = await run(40, '2026-03-06');
  // 140 × 0.5 L of 5 %: 3.5 L of pure alcohol.
  expect((await yearOf(floor)).months[2].own).toEqual(amount(0.7, 0.035));
  await floor.post(`/v1/operations/${String(wrong.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  expect((await yearOf(floor)).total.own).toEqual(amount(0.5, 0.025));
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: first.packagedLotId,
    count: 10,
    occurredAt: '2026-04-02T09:00:00Z',
  });
  expect((await yearOf(floor)).total.own).toEqual(amount(0.5, 0.025));
});

const THRESHOLD = { name: 'Small producer', measure: 'pure-alcohol', limit: L(25) };

test('thresholds: below, near at the share, above; with the group and the estimate', async () => {
  const { floor } = await spring();
  // Own and licensed since February: 20 L. The group's 4.999 L and 5 L lie on either side of 25 L.
  const group = (litres: number) => [
    { member: 'Sister (invented)', year: 2026, pureAlcohol: L(litres), document: 'Return 2026' },
    { member: 'Sister (invented)', year: 2025, pureAlcohol: L(999), document: 'Return 2025' },
  ];
  const stateOf = async (productionYear: Json) => {
    expect((await settings(floor, { ...UK, ...productionYear })).status).toBe(200);
    const { thresholds } = await yearOf(floor);
    const { items } = (await floor.get('/v1/attention')) as { items: { code: string; detail: string }[] };
    return { ...thresholds[0], alerts: items.filter(({ code }) => code.startsWith('production')) };
  };
  expect(await stateOf({ thresholds: [{ ...THRESHOLD, limit: L(25.001) }] })).toMatchObject({
    counted: hL(0.2),
    share: percent(80),
    state: 'below',
    alerts: [],
  });
  expect(await stateOf({ thresholds: [THRESHOLD] })).toMatchObject({ share: percent(80), state: 'near' });
  expect(await stateOf({ thresholds: [{ ...THRESHOLD, alertAt: percent(80.001) }] })).toMatchObject({ state: 'below' });
  expect(await stateOf({ thresholds: [THRESHOLD], group: group(5) })).toMatchObject({
    share: percent(100),
    state: 'near',
  });
  const above = await stateOf({ thresholds: [THRESHOLD], group: group(5.000001) });
  expect(above).toMatchObject({ counted: hL(0.25000001), state: 'above' });
  // 96 L a year, and the group's latest year.
  expect(above.estimated).toEqual(hL(1.01000001));
  expect(above.alerts.map(({ code, detail }) => [code, detail])).toEqual([
    [
      'production-above-threshold',
      'Small producer: 0.25 of 0.25 hL of pure alcohol were produced in the production year 2026. The estimate for the coming year is 1.01 hL of pure alcohol.',
    ],
  ]);
  expect(await stateOf({ thresholds: [{ ...THRESHOLD, counts: ['licensed'] }] })).toMatchObject({ counted: hL(0.06) });
  const volume = { ...THRESHOLD, measure: 'volume', limit: hL(3) };
  expect(await stateOf({ thresholds: [volume] })).toMatchObject({ counted: hL(3.5), state: 'above' });
  const nothing = await stateOf({ thresholds: [{ ...THRESHOLD, limit: L(0) }] });
  expect([nothing.share, nothing.state]).toEqual([undefined, 'above']);
});

test('a threshold below zero, a name twice, and a year that is none are refused, and nothing is stored', async () => {
  const floor = await open();
  const cases: [Json, number, string][] = [
    [{ thresholds: [{ ...THRESHOLD, limit: L(-0.000001) }] }, 422, '/settings/productionYear/thresholds/0/limit'],
    [{ thresholds: [THRESHOLD, THRESHOLD] }, 400, '/settings/productionYear/thresholds/1'],
    [{ thresholds: [{ ...THRESHOLD, alertAt: percent(-1) }] }, 422, '/settings/productionYear/thresholds/0/alertAt'],
    [{ firstMonth: 13 }, 422, '/settings/productionYear/firstMonth'],
    [
      { group: [1, 2].map(() => ({ member: 'S', year: 2026, pureAlcohol: L(1), document: 'D' })) },
      400,
      '/settings/productionYear/group/1',
    ],
  ];
  const before = await service.rowCounts();
  for (const [productionYear, status, pointer] of cases) {
    const refused = await settings(floor, productionYear);
    const [first] = problemOf(refused).errors ?? [];
    expect([refused.status, first.pointer.startsWith(pointer)]).toEqual([status, true]);
  }
  for (const year of ['1899', 'x', '2026.5']) {
    expect((await service.call('get', `/v1/production-years/${year}`, { key: floor.key })).status).toBeLessThan(500);
  }
  expect(await service.rowCounts()).toEqual(before);
});

test('CSV and pages hold the same figures, and the number of queries does not grow with the books', async () => {
  const { floor } = await spring();
  const few = await queriesOf(() => yearOf(floor));
  for (const day of ['11', '12', '13']) await made(floor, 10, 5, `2026-04-${day}`);
  expect(await queriesOf(() => yearOf(floor))).toBe(few);
  await settings(floor, {
    ...UK,
    thresholds: [THRESHOLD],
    group: [{ member: 'Sister (invented)', year: 2026, pureAlcohol: L(5), document: 'Return 2026' }],
  });
  const csv = await service.expect(200, 'get', '/v1/production-years/2026?format=csv', { key: floor.key });
  // 200 × 5 % of February.
  expect(csv.text).toMatch(/^production-months,,,2026-02,0\.1,0,0\.1,2,0/m);
  const page = JSON.stringify(
    definition({ report: await yearOf(floor), hash: 'ab'.repeat(32), at: new Date('2026-05-02T08:00:00Z') }).content,
  );
  for (const text of ['0.1000', 'Sister (invented)', 'Return 2026', 'Small producer', 'Weir Drinks (invented)']) {
    expect(page).toContain(text);
  }
  const pdf = await service.expect(200, 'get', '/v1/production-years/2026?format=pdf', { key: floor.key });
  expect(pdf.headers['content-type']).toBe('application/pdf');
});
