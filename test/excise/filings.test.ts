import { filingDays, keepUntil } from '../../src/ledger/periods/filing-days.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

const clock = new SteppableClock(new Date('2026-06-02T08:00:00Z'));
let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock });
});
afterAll(() => service.stop());

type Settings = Record<string, unknown>;
const JANUARY: [string, string] = ['2026-01-01', '2026-02-01'];
const FEBRUARY: [string, string] = ['2026-02-01', '2026-03-01'];
const SPRING: [string, string] = ['2026-03-01', '2026-07-01'];
const days = ([startsOn, endsBefore]: [string, string]) => ({ startsOn, endsBefore });

async function change(floor: Floor, settings: Settings) {
  const now = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
  const body = { settings: { ...(now.body as { settings: Settings }).settings, ...settings } };
  return service.call('patch', '/v1/producer', { key: floor.key, body, headers: { 'if-match': now.headers.etag } });
}

/** January and February with 100 bottles of beer; January is closed. */
async function twoMonths(settings: Settings = {}) {
  const floor = await Floor.open(service, [JANUARY, FEBRUARY]);
  expect((await change(floor, settings)).status).toBe(200);
  const { packaged } = await openStock(
    floor,
    '2026-01-01T08:00:00Z',
    [],
    [{ mark: 'B-1', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  const release = await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packaged[0],
    count: 10,
    occurredAt: '2026-01-15T12:00:00Z',
  });
  const listed = (await floor.get('/v1/periods')).items as { id: string }[];
  const [january, february] = listed.map(({ id }) => id);
  await floor.post(`/v1/periods/${january}/closing`, {});
  return { floor, january, february, release: String(release.id) };
}

const codesOf = async (floor: Floor): Promise<string[]> =>
  ((await floor.get('/v1/attention')).items as { code: string }[])
    .map(({ code }) => code)
    .filter((code) => code.startsWith('fil'));

const FILED = { filedOn: '2026-02-12', reference: 'RET-1' };

test('days of filing by rule: 2026-01-31 is a Saturday, 2026-02-15 a Sunday', () => {
  const due = (rule: object, more: object = {}, period = JANUARY) =>
    filingDays(days(period), { due: rule as never, ...more });
  const fifteenth = { kind: 'day-of-following-month', number: 15 };
  expect(due(fifteenth)).toEqual({ dueOn: '2026-02-15', payableOn: '2026-02-15' });
  expect(due(fifteenth, { workingDay: 'next' })?.dueOn).toBe('2026-02-16');
  expect(due(fifteenth, { workingDay: 'next', holidays: ['2026-02-16', '2026-02-17'] })?.dueOn).toBe('2026-02-18');
  expect(due(fifteenth, { workingDay: 'previous' })?.dueOn).toBe('2026-02-13');
  // A month without that day: its last one.
  expect(due({ kind: 'day-of-following-month', number: 31 })?.dueOn).toBe('2026-02-28');
  expect(due({ kind: 'last-day-of-following-month' })?.dueOn).toBe('2026-02-28');
  expect(due({ kind: 'days-after-end', number: 15 })?.dueOn).toBe('2026-02-15');
  // The last day inside counts: a period that ends in the middle of a month is due in the next one.
  expect(due(fifteenth, {}, ['2026-01-20', '2026-02-10'])?.dueOn).toBe('2026-03-15');
  const payment = { kind: 'days-after-end', number: 30 };
  expect(due(fifteenth, { payment })).toEqual({ dueOn: '2026-02-15', payableOn: '2026-03-02' });
  expect(due(fifteenth, { from: '2026-02-01' })).toBeUndefined();
  expect(due(fifteenth, { from: '2026-01-31' })?.dueOn).toBe('2026-02-15');
});

test('records are kept so many years after the last day of the period', () => {
  expect(keepUntil(days(JANUARY), 6)).toBe('2032-01-31');
  expect(keepUntil({ startsOn: '2024-02-01', endsBefore: '2024-03-01' }, 3)).toBe('2027-02-28');
});

test('a closed period is filed, amended, and keeps the chain', async () => {
  const calendar = { due: { kind: 'day-of-following-month', number: 15 }, workingDay: 'next' };
  const { floor, january, february } = await twoMonths({ filingCalendar: calendar, retentionYears: 10 });
  const path = `/v1/periods/${january}/filings`;
  expect(await floor.get(`/v1/periods/${january}`)).toMatchObject({
    dueOn: '2026-02-16',
    payableOn: '2026-02-16',
    filing: 'overdue',
    keepUntil: '2036-01-31',
  });
  expect(await codesOf(floor)).toEqual(['filing-overdue', 'filing-overdue']);
  const first = await floor.post(path, { ...FILED, note: 'By post.' });
  expect(first).toMatchObject({ ...FILED, note: 'By post.', periodId: january });
  const { report } = (await floor.get(`/v1/periods/${january}`)) as { report: { hash: string } };
  expect(first.reportHash).toBe(report.hash);
  const second = await floor.post(path, { filedOn: '2026-03-01', reference: 'RET-1a', amends: first.id });
  expect(await floor.get(`/v1/periods/${january}`)).toMatchObject({ filing: 'amended', filedOn: '2026-03-01' });
  expect((await floor.get(path)).items).toEqual([first, second]);
  expect(await codesOf(floor)).toEqual(['filing-overdue']);
  expect(await floor.get(`/v1/periods/${february}`)).toMatchObject({ filing: 'overdue', dueOn: '2026-03-16' });
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
});

test('what is filed does not fit: refused plainly, and nothing is stored', async () => {
  const { floor, january, february } = await twoMonths();
  const filed = await floor.post(`/v1/periods/${january}/filings`, FILED);
  const again = await floor.post(`/v1/periods/${january}/filings`, { ...FILED, reference: 'RET-2', amends: filed.id });
  const cases: [string, object, number, RegExp][] = [
    [january, FILED, 409, /^The report was filed on 2026-02-12 under RET-2\. If you filed it again/],
    [january, { ...FILED, amends: filed.id }, 409, /^Only the latest filing is amended/],
    [january, { ...FILED, amends: again.id, filedOn: '2026-02-11' }, 422, /The filing that it amends is of 2026-02-12/],
    [january, { ...FILED, amends: again.id, filedOn: '2026-01-31' }, 422, /^The period ends with the day before/],
    [january, { ...FILED, amends: again.id, filedOn: '2026-06-03' }, 422, /^Today is 2026-06-02/],
    [january, { ...FILED, amends: again.id, personId: january }, 404, /Nothing is found under this id/],
    [february, FILED, 409, /is open\. Close it, then file its report/],
    ['018f0000-0000-7000-8000-000000000000', FILED, 404, /.*/],
  ];
  const before = await service.rowCounts();
  for (const [period, body, status, detail] of cases) {
    const refused = await service.call('post', `/v1/periods/${period}/filings`, { key: floor.key, body });
    expect([refused.status, problemOf(refused).detail]).toEqual([status, expect.stringMatching(detail)]);
  }
  expect(await service.rowCounts()).toEqual(before);
});

test('of two first filings at once one is kept', async () => {
  const { floor, january } = await twoMonths();
  const send = (reference: string) =>
    service.call('post', `/v1/periods/${january}/filings`, { key: floor.key, body: { ...FILED, reference } });
  const answers = await Promise.all(['A', 'B', 'C', 'D'].map(send));
  expect(answers.map(({ status }) => status).sort()).toEqual([201, 409, 409, 409]);
});

test('a period is not due before its end, and due until the day of the calendar', async () => {
  const floor = await Floor.open(service, [
    ['2026-05-01', '2026-06-01'],
    ['2026-06-01', '2026-07-01'],
  ]);
  await change(floor, {
    filingCalendar: { due: { kind: 'days-after-end', number: 2 } },
    filingNoticeDays: 5,
  });
  // Due on 2 June, which is today.
  const states = (await floor.get('/v1/periods')).items as { filing: string }[];
  expect(states.map(({ filing }) => filing)).toEqual(['due', 'not-due']);
  const items = (await floor.get('/v1/attention?code=filing-due')).items as { detail: string; settle: string }[];
  expect(items.map(({ detail }) => detail)).toEqual([
    'The report of Mill Lane, 1 May 2026 to 31 May 2026, both days included, is due on 2 June 2026, and is not filed.',
  ]);
  expect(items[0].settle).toMatch(/^Close the period\. File the report/);
  await change(floor, { filingCalendar: { due: { kind: 'days-after-end', number: 30 } }, filingNoticeDays: 5 });
  expect(await codesOf(floor)).toEqual([]);
});

test('a calendar that names no day is refused', async () => {
  const { floor } = await twoMonths();
  const cases: [object, string, RegExp][] = [
    [{ due: { kind: 'days-after-end' } }, '/settings/filingCalendar/due/number', /Give the day/],
    [{ due: { kind: 'day-of-following-month', number: 32 } }, '/settings/filingCalendar/due/number', /31 days/],
    [{ due: { kind: 'last-day-of-following-month', number: 1 } }, '/settings/filingCalendar/due/number', /no number/],
    [{ due: { kind: 'days-after-end', number: -1 } }, '/settings/filingCalendar/due/number', /.*/],
    [
      { due: { kind: 'days-after-end', number: 1 }, payment: { kind: 'days-after-end' } },
      '/settings/filingCalendar/payment/number',
      /Give the day/,
    ],
  ];
  for (const [filingCalendar, pointer, detail] of cases) {
    const refused = await change(floor, { filingCalendar });
    const problem = problemOf(refused);
    expect([problem.errors?.[0].pointer, problem.detail]).toEqual([pointer, expect.stringMatching(detail)]);
    expect(refused.status).toBeLessThan(500);
  }
});

test('a correction after the filing is a hint until the period in which it was entered is filed, or an amendment is', async () => {
  const { floor, january, february, release } = await twoMonths();
  const spring = String((await floor.post('/v1/periods', { premisesId: floor.premisesId, ...days(SPRING) })).id);
  await floor.post(`/v1/periods/${january}/filings`, FILED);
  expect(await codesOf(floor)).toEqual([]);
  await floor.post(`/v1/operations/${release}/reversal`, { reasonCode: 'did-not-happen' });
  const items = (await floor.get('/v1/attention?code=filed-period-corrected')).items as { detail: string }[];
  expect(items.map(({ detail }) => detail)).toEqual([
    'The period of Mill Lane, 1 January 2026 to 31 January 2026, both days included, was filed; 1 correction was entered since.',
  ]);
  const other = await twoMonths();
  await other.floor.post('/v1/periods', { premisesId: other.floor.premisesId, ...days(SPRING) });
  const first = await other.floor.post(`/v1/periods/${other.january}/filings`, FILED);
  await other.floor.post(`/v1/operations/${other.release}/reversal`, { reasonCode: 'did-not-happen' });
  expect(await codesOf(other.floor)).toEqual(['filed-period-corrected']);
  await other.floor.post(`/v1/periods/${other.january}/filings`, { ...FILED, amends: first.id });
  expect(await codesOf(other.floor)).toEqual([]);
  clock.set(new Date('2026-07-02T08:00:00Z'));
  await floor.post(`/v1/periods/${february}/closing`, {});
  await floor.post(`/v1/periods/${spring}/closing`, {});
  expect(await codesOf(floor)).toEqual(['filed-period-corrected']);
  await floor.post(`/v1/periods/${spring}/filings`, { filedOn: '2026-07-02', reference: 'RET-2' });
  expect(await codesOf(floor)).toEqual([]);
});
