import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import { restoreBackup, writeBackup } from '../../src/platform/database/backup/backup.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { withConnection } from '../../src/platform/database/connection.js';
import { createTestDatabase } from '../support/database.js';
import { TestService } from '../support/service.js';
import { playedMonths } from './faces-world.js';

const MADE_AT = new Date('2026-06-01T12:00:00Z');
const file = join(tmpdir(), `gaugebook-test-backup-${process.pid}-${randomBytes(4).toString('hex')}`);
const clock = new SteppableClock(new Date('2026-01-01T00:00:00Z'));

let service: TestService;
let key: string;
let periodIds: readonly string[];
let written: number;
beforeAll(async () => {
  service = await TestService.start({ clock });
  const played = await playedMonths(service, clock, new Date('2026-05-20T12:00:00Z'));
  key = played.key;
  periodIds = played.world.site.periodIds;
  written = await withConnection(service.database.superuserUrl, (client) => writeBackup(client, file, MADE_AT));
}, 120_000);
afterAll(async () => {
  await service.stop();
  await rm(file, { force: true });
});

const REPORT_FORMATS = ['json', 'csv', 'zip', 'pdf'];

async function facesOf(of: TestService): Promise<string[]> {
  const all: string[] = [];
  for (const id of periodIds) {
    for (const format of REPORT_FORMATS) {
      const { headers } = await of.expect(200, 'get', `/v1/periods/${id}/report?format=${format}`, { key });
      all.push(`${headers['report-hash']} ${headers['content-digest']}`);
    }
  }
  return all;
}

test('a restored backup holds every row, gives the same closed bytes in every face, and goes on', async () => {
  const before = await facesOf(service);
  const database = await createTestDatabase();
  const restored = await withConnection(database.superuserUrl, (client) => restoreBackup(client, file));
  expect(restored).toBe(written);
  const other = await TestService.start({ clock, database });
  try {
    expect(await other.rowCounts()).toEqual(await service.rowCounts());
    expect(await facesOf(other)).toEqual(before);
    const check = await other.expect(200, 'get', '/v1/audit-trail/check', { key });
    expect(check.body).toMatchObject({ holds: true });
    // Its rules stand again: nothing of the books is deleted, not by a superuser either.
    await expect(
      withConnection(database.superuserUrl, (client) => client.query('DELETE FROM posting')),
    ).rejects.toThrow('append-only');
    await other.expect(201, 'post', '/v1/materials', { key, body: { name: 'Sugar after it', kind: 'sugar' } });
  } finally {
    await other.stop();
  }
}, 120_000);

test('a backup is of one moment and never half there', async () => {
  const again = `${file}.again`;
  const rows = await withConnection(service.database.superuserUrl, (client) => writeBackup(client, again, MADE_AT));
  expect([rows, existsSync(`${again}.part`)]).toEqual([written, false]);
  expect((await readFile(again)).equals(await readFile(file))).toBe(true);
  await rm(again);
  const failed = join(file, 'no', 'folder');
  await expect(
    withConnection(service.database.superuserUrl, (client) => writeBackup(client, failed, MADE_AT)),
  ).rejects.toThrow(/ENOTDIR|ENOENT/);
});

type Lines = string[];
const changed =
  (change: (lines: Lines) => Lines) =>
  (bytes: Buffer): Buffer =>
    gzipSync(change(gunzipSync(bytes).toString('utf8').split('\n')).join('\n'));

test.each<[string, (bytes: Buffer) => Buffer, RegExp]>([
  ['cut off', (bytes) => bytes.subarray(0, bytes.length / 2), /cannot be read/],
  ['without its end', changed((lines) => lines.slice(0, -2)), /not whole/],
  [
    'with a changed number',
    changed(([head, first, ...rest]) => [head, first.replace(/\d/, (digit) => `${(Number(digit) + 1) % 10}`), ...rest]),
    /was changed/,
  ],
  ['without one of its lines', changed((lines) => lines.filter((_, at) => at !== 3)), /was changed/],
  ['with something after its end', changed((lines) => [...lines.slice(0, -1), '{}', '']), /goes on after its end/],
  ['that is something else', () => gzipSync('{"format":"other"}\n'), /no backup/],
  ['that is not packed', () => Buffer.from('nothing'), /cannot be read/],
  ['that is empty', () => gzipSync(''), /not whole/],
  [
    'of other migrations',
    changed((lines) => [lines[0].replace(/"migrations":\["/, '"migrations":["19990101_other","'), ...lines.slice(1)]),
    /whose tables are not those of this one/,
  ],
])('a file %s is refused, and nothing is stored', async (_what, make, words) => {
  const database = await createTestDatabase();
  const bad = `${file}.bad`;
  try {
    await writeFile(bad, make(await readFile(file)));
    await withConnection(database.superuserUrl, async (client) => {
      await expect(restoreBackup(client, bad)).rejects.toThrow(words);
      const { rows } = await client.query('SELECT count(*)::int AS n FROM producer');
      expect(rows).toEqual([{ n: 0 }]);
    });
  } finally {
    await rm(bad, { force: true });
    await database.drop();
  }
});

test('it is restored onto an empty database only', async () => {
  const before = await service.rowCounts();
  await expect(withConnection(service.database.superuserUrl, (client) => restoreBackup(client, file))).rejects.toThrow(
    'onto an empty one',
  );
  expect(await service.rowCounts()).toEqual(before);
});
