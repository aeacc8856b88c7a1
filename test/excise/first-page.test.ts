import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { ReportPdfInput } from '../../src/excise/reporting/period/report-pdf.js';
import { definition } from '../../src/excise/reporting/period/report-pdf.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;
const MARCH: [string, string] = ['2026-03-01', '2026-04-01'];
const HEAD = { legalName: 'Sample Drinks Ltd', address: '1 Sample Street\nSampleton', taxNumber: 'TAX-1' };
const CALENDAR = {
  due: { kind: 'day-of-following-month', number: 15 },
  payment: { kind: 'days-after-end', number: 25 },
};

async function patch(floor: Floor, path: string, body: (now: Json) => Json) {
  const now = await service.expect(200, 'get', path, { key: floor.key });
  const headers = { 'if-match': now.headers.etag };
  await service.expect(200, 'patch', path, { key: floor.key, body: body(now.body as Json), headers });
}

/** March of premises with two approvals, of which one had lapsed before. */
async function march() {
  const floor = await Floor.open(service, [MARCH]);
  await patch(floor, '/v1/producer', ({ settings }) => ({
    settings: { ...(settings as Json), ...HEAD, filingCalendar: CALENDAR, retentionYears: 3 },
  }));
  await patch(floor, `/v1/premises/${floor.premisesId}`, () => ({
    address: '2 Sample Yard',
    approvals: [
      { authority: 'Office A', number: 'OLD-1', validUntil: '2026-02-28' },
      { authority: 'Office A', number: 'NEW-1', validFrom: '2026-03-31' },
    ],
  }));
  const { id } = ((await floor.get('/v1/periods')).items as { id: string }[])[0];
  return { floor, path: `/v1/periods/${id}` };
}

test('the head of the report names producer, premises, approval, due days and how long it is kept', async () => {
  const { floor, path } = await march();
  const check = (await floor.get(`${path}/closing-check`)).findings as { code: string }[];
  expect(check.map(({ code }) => code)).not.toContain('head-incomplete');
  await floor.post(`${path}/closing`, {});
  const report = (await floor.get(`${path}/report`)) as unknown as PeriodReport;
  expect(report.producer).toMatchObject(HEAD);
  expect(report.premises).toEqual({
    id: floor.premisesId,
    name: 'Mill Lane',
    address: '2 Sample Yard',
    approvals: [{ authority: 'Office A', number: 'NEW-1', validFrom: '2026-03-31' }],
  });
  expect(report.period).toMatchObject({ dueOn: '2026-04-15', payableOn: '2026-04-25', keepUntil: '2029-03-31' });
  const csv = (await service.expect(200, 'get', `${path}/report?format=csv`, { key: floor.key })).text;
  for (const fact of ['legalName', 'taxNumber', 'premisesAddress', 'approval', 'dueOn', 'keepUntil']) {
    expect(csv).toContain(`report,${fact},`);
  }
  const consolidated = await floor.get('/v1/consolidated-reports?startsOn=2026-03-01&endsBefore=2026-04-01');
  expect(consolidated).toMatchObject({ producer: HEAD, keepUntil: '2029-03-31', premises: [report.premises] });
});

test('the first page as it is printed has the head, and lines to sign on; what is missing is said', async () => {
  const { floor, path } = await march();
  const report = (await floor.get(`${path}/report`)) as unknown as PeriodReport;
  const input: Omit<ReportPdfInput, 'report'> = {
    hash: 'ab'.repeat(32),
    evidence: { figures: [], operations: [], findings: [], readings: [], instruments: [], calibrations: [] } as never,
    at: new Date('2026-04-02T08:00:00Z'),
  };
  const pageOf = (each: PeriodReport): string => JSON.stringify(definition({ ...input, report: each }).content);
  const full = pageOf(report);
  for (const text of [
    'Sample Drinks Ltd (Invented Drinks)',
    '1 Sample Street, Sampleton',
    'TAX-1',
    'Mill Lane, 2 Sample Yard',
    'NEW-1, Office A',
    'filed by 2026-04-15, paid by 2026-04-25',
    '2029-03-31 at the least',
    'Name and position',
    'Signature',
  ]) {
    expect(full).toContain(text);
  }
  expect(full).not.toContain('OLD-1');
  expect(full).not.toContain('not given');
  const { legalName, taxNumber, ...producer } = report.producer;
  expect([legalName, taxNumber]).toEqual([HEAD.legalName, HEAD.taxNumber]);
  const bare = pageOf({ ...report, producer, premises: { ...report.premises, approvals: [] } });
  expect(bare.match(/not given/g)).toHaveLength(2);
});
