import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { definition } from '../../src/excise/reporting/period/report-pdf.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;
const MARCH: [string, string] = ['2026-03-01', '2026-04-01'];

/** Ten bottles at Mill Lane, of which two are on their way to the Yard, where one bottle was exported without proof. */
async function twoPremises() {
  const floor = await Floor.open(service, [MARCH]);
  const yard = String((await floor.post('/v1/premises', { name: 'Yard', timeZone: 'Europe/London' })).id);
  const [startsOn, endsBefore] = MARCH;
  await floor.post('/v1/periods', { premisesId: yard, startsOn, endsBefore });
  const { packaged } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [{ mark: 'B-1', category: 'beer', count: 10, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  const [bottles] = packaged;
  const send = (day: number, count: number) =>
    floor.post('/v1/transits', {
      packagedLotId: bottles,
      count,
      toPremisesId: yard,
      document: `T-${day}`,
      occurredAt: `2026-03-0${day}T10:00:00Z`,
    });
  const periods = (await floor.get('/v1/periods')).items as { id: string; premisesId: string }[];
  const periodAt = (premisesId: string): string => String(periods.find((each) => each.premisesId === premisesId)?.id);
  return { floor, yard, bottles, send, periodAt };
}

const closeDown = (floor: Floor, id: string, body: Json = {}) =>
  service.call('post', `/v1/premises/${id}/closing-down`, { key: floor.key, body });

async function retire(floor: Floor, id: string, retired = true) {
  const now = await service.expect(200, 'get', `/v1/premises/${id}`, { key: floor.key });
  const headers = { 'if-match': now.headers.etag };
  return service.call('patch', `/v1/premises/${id}`, { key: floor.key, body: { retired }, headers });
}

test('what remains is named, by the procedure and by retiring alike, and nothing is stored', async () => {
  const { floor, yard, bottles, send } = await twoPremises();
  await send(4, 2);
  await floor.post('/v1/movements', {
    kind: 'export',
    packagedLotId: bottles,
    count: 1,
    occurredAt: '2026-03-05T10:00:00Z',
    evidence: { document: 'EX-1' },
  });
  const before = await service.rowCounts();
  const { premisesId } = floor;
  for (const refuse of [() => closeDown(floor, premisesId), () => retire(floor, premisesId)]) {
    const refused = await refuse();
    expect([refused.status, problemOf(refused).code]).toEqual([409, 'in-use']);
    const { detail } = problemOf(refused);
    for (const named of [
      'At Mill Lane there remain: the open period 2026-03-01 to 2026-03-31; ',
      '3.5 L of B-1',
      'on its way 1 L of B-1',
      'no proof of the export of 2026-03-05, document EX-1',
      'then close the premises down.',
    ]) {
      expect(detail).toContain(named);
    }
  }
  // The consignment keeps its goal open too.
  expect(problemOf(await closeDown(floor, yard)).detail).toContain('on its way 1 L of B-1');
  expect(await service.rowCounts()).toEqual(before);
});

test('with nothing left: the last report is marked, the premises are retired, and nothing is entered there any more', async () => {
  const { floor, yard, bottles, send, periodAt } = await twoPremises();
  const { premisesId } = floor;
  await send(4, 10);
  const [transit] = (await floor.get('/v1/transits')).items as { id: string }[];
  await floor.post(`/v1/transits/${transit.id}/arrival`, { count: 10, occurredAt: '2026-03-06T10:00:00Z' });
  const period = periodAt(premisesId);
  expect(problemOf(await closeDown(floor, premisesId)).detail).toMatch(/^At Mill Lane there remain: the open period/);
  await floor.post(`/v1/periods/${period}/closing`, {});
  expect(problemOf(await retire(floor, premisesId)).detail).toMatch(/^Mill Lane has reports\. Close it down/);
  const closed = await closeDown(floor, premisesId, { reference: 'NOTICE-1' });
  expect([closed.status, closed.body]).toEqual([
    201,
    expect.objectContaining({
      premisesId,
      lastPeriodId: period,
      lastDay: '2026-03-31',
      reference: 'NOTICE-1',
      report: `/v1/periods/${period}/report`,
    }),
  ]);
  const after = await floor.get(`/v1/premises/${premisesId}`);
  expect(closed.body).toMatchObject(after.closedDown as Json);
  expect(typeof after.retiredAt).toBe('string');
  expect((await floor.get(`/v1/periods/${period}`)).lastReport).toBe(true);
  expect((await floor.get(`/v1/periods/${periodAt(yard)}`)).lastReport).toBe(false);
  const report = (await floor.get(`/v1/periods/${period}/report`)) as unknown as PeriodReport;
  expect(report.closing.litres.value).toBe(0);
  const evidence = { figures: [], operations: [], findings: [], readings: [], instruments: [], calibrations: [] };
  const input = { report, hash: 'ab'.repeat(32), evidence: evidence as never, at: new Date('2026-04-02T08:00:00Z') };
  expect(JSON.stringify(definition({ ...input, isLast: true }).content)).toContain('LAST REPORT');
  expect(JSON.stringify(definition(input).content)).not.toContain('LAST REPORT');

  const before = await service.rowCounts();
  const refusals: [Promise<{ status: number; headers: Record<string, string>; text: string }>, RegExp][] = [
    [closeDown(floor, premisesId), /^Mill Lane is retired already/],
    [retire(floor, premisesId, false), /^Mill Lane was closed down, with its last report/],
    [
      service.call('post', '/v1/periods', {
        key: floor.key,
        body: { premisesId, startsOn: '2026-04-01', endsBefore: '2026-05-01' },
      }),
      /^The premises are retired/,
    ],
    [
      service.call('post', '/v1/transits', {
        key: floor.key,
        body: {
          packagedLotId: bottles,
          count: 1,
          toPremisesId: premisesId,
          document: 'T-9',
          occurredAt: '2026-03-20T10:00:00Z',
        },
      }),
      /^It is retired/,
    ],
  ];
  for (const [refused, detail] of refusals) {
    const answer = await refused;
    expect([answer.status, problemOf(answer).detail]).toEqual([409, expect.stringMatching(detail)]);
  }
  expect(await service.rowCounts()).toEqual(before);
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
});

test('premises without a report are retired and brought back; they have none to close down with', async () => {
  const floor = await Floor.open(service, []);
  expect(problemOf(await closeDown(floor, floor.premisesId)).detail).toMatch(/^Mill Lane never had a period/);
  expect((await retire(floor, floor.premisesId)).status).toBe(200);
  expect((await retire(floor, floor.premisesId, false)).status).toBe(200);
});

test('a period that is opened at the same moment is either open, or there are no premises to open it at', async () => {
  const { floor, yard, periodAt } = await twoPremises();
  await floor.post(`/v1/periods/${periodAt(yard)}/closing`, {});
  const april = { premisesId: yard, startsOn: '2026-04-01', endsBefore: '2026-05-01' };
  const [closed, opened] = await Promise.all([
    closeDown(floor, yard),
    service.call('post', '/v1/periods', { key: floor.key, body: april }),
  ]);
  expect([closed.status, opened.status].sort()).toEqual([201, 409]);
});
