import { withConnection } from '../../src/platform/database/connection.js';
import { openDatabase } from '../../src/platform/database/open.js';
import { createEmptyDatabase, type TestDatabase } from '../support/database.js';

let database: TestDatabase;

beforeEach(async () => {
  database = await createEmptyDatabase();
});

afterEach(async () => {
  await database.drop();
});

const open = (url: string, migrationUrl: string): ReturnType<typeof openDatabase> =>
  openDatabase({ database: { kind: 'server', url, migrationUrl } });

describe('a database that somebody else runs', () => {
  it('is brought up to date once, and left running', async () => {
    const first = await open(database.appUrl, database.ownerUrl);
    expect(first.migrated.migrations.length).toBeGreaterThan(0);
    expect(first.migrated.sqlFiles.length).toBeGreaterThan(0);
    expect([first.appUrl, first.embedded]).toEqual([database.appUrl, undefined]);
    await first.close();
    const second = await open(database.appUrl, database.ownerUrl);
    expect(second.migrated).toEqual({ migrations: [], sqlFiles: [] });
    await second.close();
    await withConnection(database.appUrl, (client) => client.query('SELECT 1'));
  });

  it('is refused when the service cannot log in, naming the role', async () => {
    const wrong = new URL(database.appUrl);
    wrong.password = 'wrong';
    await expect(open(wrong.toString(), database.ownerUrl)).rejects.toThrow(
      'refuses the password of role "gaugebook_test_service"',
    );
  });

  it('is refused when the owner cannot log in, naming the role', async () => {
    const wrong = new URL(database.ownerUrl);
    wrong.password = 'wrong';
    await expect(open(database.appUrl, wrong.toString())).rejects.toThrow(
      'refuses the password of role "gaugebook_test_owner"',
    );
  });
});
