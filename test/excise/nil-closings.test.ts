import { createHash } from 'node:crypto';
import type { Closing } from '../../src/excise/closing/closing.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-06-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const MONTHS = ['01', '02', '03', '04', '05', '06', '07'].map((month) => `2026-${month}-01`);

/** January with 100 bottles and a release; nothing from February to May; June is not over. */
async function halfYear() {
  const floor = await Floor.open(
    service,
    MONTHS.slice(0, 6).map((day, index): [string, string] => [day, MONTHS[index + 1]]),
  );
  const { packaged } = await openStock(
    floor,
    '2026-01-01T08:00:00Z',
    [],
    [{ mark: 'B-1', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  const release = (occurredAt: string) =>
    floor.post('/v1/movements', { kind: 'release', packagedLotId: packaged[0], count: 10, occurredAt });
  await release('2026-01-15T12:00:00Z');
  const listed = (await floor.get('/v1/periods')).items as { id: string; startsOn: string }[];
  return { floor, release, bottles: packaged[0], periods: listed.map(({ id }) => id) };
}

const closeNil = (floor: Floor, id: string, headers: Record<string, string> = {}) =>
  service.call('post', `/v1/periods/${id}/nil-closings`, { key: floor.key, headers });
const bytesOf = async (floor: Floor, id: string) =>
  (await service.expect(200, 'get', `/v1/periods/${id}/report`, { key: floor.key })).text;
const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

test('four empty months closed in one call: each opens on what the one before closed on, and the chain of hashes holds', async () => {
  const { floor, periods, bottles } = await halfYear();
  const [january, , , , may] = periods;
  await floor.post(`/v1/periods/${january}/closing`, {});
  const closed = await closeNil(floor, may);
  expect(closed.status).toBe(201);
  const { closings } = closed.body as { closings: Closing[] };
  expect(closings.map(({ periodId }) => periodId)).toEqual(periods.slice(1, 5));
  expect(closed.headers.location).toBe(`/v1/periods/${may}/report`);
  let before = january;
  for (const { periodId, reportHash } of closings) {
    const bytes = await bytesOf(floor, periodId);
    expect(sha256(bytes)).toBe(reportHash);
    const report = JSON.parse(bytes) as PeriodReport;
    const { source, periodId: from, reportHash: hash, ...figures } = report.opening;
    expect({ source, from, hash }).toEqual({
      source: 'frozen-report',
      from: before,
      hash: sha256(await bytesOf(floor, before)),
    });
    expect(figures).toEqual(report.closing);
    expect(report.closing.litres.value).toBe(45);
    expect([report.status, report.reconciliation.balances, report.stages.every(({ balances }) => balances)]).toEqual([
      'closed',
      true,
      true,
    ]);
    before = periodId;
  }
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
  const states = (await floor.get('/v1/periods')).items as { state: string }[];
  expect(states.map(({ state }) => state)).toEqual(['closed', 'closed', 'closed', 'closed', 'closed', 'open']);
  // Nothing can be entered there any more.
  const late = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: { kind: 'release', packagedLotId: bottles, count: 1, occurredAt: '2026-03-15T12:00:00Z' },
  });
  expect([late.status, problemOf(late).code]).toEqual([409, 'period-closed']);
});

test('refused with the first that is not empty, and nothing is stored', async () => {
  const { floor, periods, release } = await halfYear();
  await release('2026-03-10T12:00:00Z');
  await release('2026-04-10T12:00:00Z');
  const [january, february, march, april, may, june] = periods;
  const refusals: [string, number, string, string | undefined][] = [
    [may, 409, 'conflict', january],
    [june, 409, 'period-not-ended', undefined],
    ['018f0000-0000-7000-8000-000000000000', 404, 'not-found', undefined],
  ];
  const refusedAll = async () => {
    const before = await service.rowCounts();
    for (const [id, status, code, period] of refusals) {
      const refused = await closeNil(floor, id);
      expect([refused.status, problemOf(refused).code, (refused.body as { period?: string }).period]).toEqual([
        status,
        code,
        period,
      ]);
    }
    expect(await service.rowCounts()).toEqual(before);
  };
  await refusedAll();
  await floor.post(`/v1/periods/${january}/closing`, {});
  refusals[0] = [may, 409, 'conflict', march];
  refusals.push([january, 409, 'period-closed', january]);
  await refusedAll();
  expect((await closeNil(floor, february)).status).toBe(201);
  await floor.post(`/v1/periods/${march}/closing`, {});
  await floor.post(`/v1/periods/${april}/closing`, {});
  expect((await closeNil(floor, may)).status).toBe(201);
});

test('a consignment that only passes through a period’s accounts makes it not empty', async () => {
  const { floor, periods } = await halfYear();
  const hill = String((await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' })).id);
  for (const [index, startsOn] of MONTHS.slice(0, 3).entries()) {
    await floor.post('/v1/periods', { premisesId: hill, startsOn, endsBefore: MONTHS[index + 1] });
  }
  const lots = (await floor.get('/v1/packaged-lots')).items as { id: string }[];
  const sent = await floor.post('/v1/transits', {
    packagedLotId: lots[0].id,
    count: 5,
    toPremisesId: hill,
    document: 'DOC-1',
    occurredAt: '2026-01-30T12:00:00Z',
  });
  // The arrival is an operation of the Hill's; it takes the goods out of Mill Lane's accounts too.
  await floor.post(`/v1/transits/${String(sent.id)}/arrival`, { count: 5, occurredAt: '2026-02-03T12:00:00Z' });
  await floor.post(`/v1/periods/${periods[0]}/closing`, {});
  const refused = await closeNil(floor, periods[2]);
  expect([refused.status, (refused.body as { period: string }).period]).toEqual([409, periods[1]]);
});

test('two at once make one, and one beside an ordinary closing too; the same key replays it', async () => {
  const { floor, periods } = await halfYear();
  await floor.post(`/v1/periods/${periods[0]}/closing`, {});
  const answers = await Promise.all([
    ...Array.from({ length: 4 }, () => closeNil(floor, periods[2])),
    ...Array.from({ length: 2 }, () => service.call('post', `/v1/periods/${periods[1]}/closing`, { key: floor.key })),
  ]);
  const won = answers.filter(({ status }) => status === 201);
  expect(answers.every(({ status }) => status === 201 || status === 409)).toBe(true);
  // Either all of it by one nil closing, or February by itself and March by a nil closing after it.
  expect(won.length).toBeGreaterThanOrEqual(1);
  expect(won.length).toBeLessThanOrEqual(2);
  const reports = await service.rowCounts();
  const keyed = await Promise.all(
    Array.from({ length: 4 }, () => closeNil(floor, periods[4], { 'idempotency-key': 'nil-until-may' })),
  );
  expect(keyed.map(({ status }) => status)).toEqual([201, 201, 201, 201]);
  expect(new Set(keyed.map(({ text }) => text)).size).toBe(1);
  expect((await service.rowCounts()).report - reports.report).toBe(2);
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
});

test('only who may close may close so', async () => {
  const { floor, periods } = await halfYear();
  const brewer = await floor.post('/v1/keys', { name: 'Brewer', role: 'brewer' });
  const refused = await service.call('post', `/v1/periods/${periods[4]}/nil-closings`, { key: String(brewer.key) });
  expect(problemOf(refused).code).toBe('forbidden');
});
