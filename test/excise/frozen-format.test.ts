import { createHash } from 'node:crypto';
import { withConnection } from '../../src/platform/database/connection.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

// A report that an earlier version of the program froze: its bytes are law, whatever reports have come to hold since.
const NEWER = ['stages', 'ties', 'deficiency', 'lotsProduced', 'lateEntries'] as const;

let service: TestService;
let floor: Floor;
let periods: { id: string }[];
let bytes: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-05-02T08:00:00Z')) });
  floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [{ mark: 'B', category: 'beer', count: 60, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  periods = (await floor.get('/v1/periods')).items as { id: string }[];
  await floor.post(`/v1/periods/${periods[0].id}/closing`, {});
  bytes = await asFormatOne(periods[0].id);
});
afterAll(() => service.stop());

/** Puts in its place, as only the database's superuser can, what a program of format 1 would have frozen. */
async function asFormatOne(periodId: string): Promise<string> {
  const { text } = await service.expect(200, 'get', `/v1/periods/${periodId}/report`, { key: floor.key });
  const report = JSON.parse(text) as Record<string, unknown>;
  expect(report.formatVersion).toBe(2);
  const older = Object.fromEntries(Object.entries(report).filter(([part]) => !NEWER.some((each) => each === part)));
  const frozen = JSON.stringify({ ...older, formatVersion: 1 });
  await withConnection(service.database.superuserUrl, async (client) => {
    await client.query(`SET session_replication_role = 'replica'`);
    await client.query(`UPDATE report SET bytes = $1, hash = sha256(convert_to($1, 'UTF8')) WHERE period_id = $2`, [
      frozen,
      periodId,
    ]);
  });
  return frozen;
}

test('the bytes come back as they are, with their own hash', async () => {
  const { text, headers } = await service.expect(200, 'get', `/v1/periods/${periods[0].id}/report`, { key: floor.key });
  expect(text).toBe(bytes);
  expect(headers['report-hash']).toBe(createHash('sha256').update(bytes).digest('hex'));
});

test.each(['csv', 'zip', 'pdf'])('its %s is made, and says what its format had not', async (format) => {
  const path = `/v1/periods/${periods[0].id}/report?format=${format}`;
  const { headers, text } = await service.expect(200, 'get', path, { key: floor.key });
  if (format === 'csv') expect(text).toContain('frozen in format 1');
  else expect(Number(headers['content-length'])).toBeGreaterThan(1000);
});

test('what rests on it goes on: changes since, the next closing, the consolidated report', async () => {
  expect(await floor.get(`/v1/periods/${periods[0].id}/changes`)).toMatchObject({ unchanged: true });
  const span = await floor.get('/v1/consolidated-reports?startsOn=2026-03-01&endsBefore=2026-05-01');
  expect(span).toMatchObject({ reconciliation: { balances: true } });
  expect((span.statement as string[]).join(' ')).toContain('frozen in format 1');
  const provisional = await floor.get(`/v1/periods/${periods[1].id}/report`);
  expect(provisional).toMatchObject({
    formatVersion: 2,
    opening: { source: 'frozen-report', litres: { value: 30 } },
    reconciliation: { balances: true },
  });
  expect((provisional.stages as { balances: boolean }[]).every(({ balances }) => balances)).toBe(true);
});
