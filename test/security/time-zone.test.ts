import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { withConnection } from '../../src/platform/database/connection.js';
import { createTestDatabase, TEST_OWNER, TEST_SERVICE } from '../support/database.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const JEST = fileURLToPath(new URL('../../node_modules/jest/bin/jest.js', import.meta.url));

/** Tests in which a day or a moment decides something. */
const SUBSET = ['test/production/main-job.test.ts', 'test/books/order-in-time.test.ts'];
const NAMED = 'sugar ferment|one period|overlap|assertion|30 February|without an offset';

test('under another time zone of the machine the same tests hold', async () => {
  const env = { ...process.env, TZ: 'Pacific/Auckland', NODE_OPTIONS: '--experimental-vm-modules' };
  const { stdout, stderr } = await promisify(execFile)(
    process.execPath,
    [JEST, '--runInBand', '--json', '--testNamePattern', NAMED, '--testPathPatterns', ...SUBSET],
    { cwd: ROOT, env, maxBuffer: 64 * 1024 * 1024 },
  ).catch((error: { stdout: string; stderr: string }) => error);
  const start = stdout.indexOf('{');
  if (start === -1) {
    throw new Error(stderr);
  }
  const report = JSON.parse(stdout.slice(start)) as {
    numFailedTests: number;
    numPassedTests: number;
    success: boolean;
  };
  expect({ failed: report.numFailedTests, success: report.success }).toEqual({ failed: 0, success: true });
  expect(report.numPassedTests).toBeGreaterThanOrEqual(6);
}, 180_000);

test('a zone that the database keeps for a role or for itself does not reach the program’s sessions', async () => {
  const database = await createTestDatabase();
  try {
    await withConnection(database.superuserUrl, async (db) => {
      await db.query(`ALTER DATABASE ${database.name} SET timezone = 'America/New_York'`);
      for (const role of [TEST_OWNER, TEST_SERVICE]) {
        await db.query(`ALTER ROLE ${role} IN DATABASE ${database.name} SET timezone = 'America/New_York'`);
      }
    });
    for (const url of [database.appUrl, database.ownerUrl]) {
      const zone = await withConnection(url, (db) =>
        db.query<{ zone: string }>(`SELECT current_setting('TimeZone') AS zone`),
      );
      expect(zone.rows).toEqual([{ zone: 'UTC' }]);
    }
  } finally {
    await database.drop();
  }
});
