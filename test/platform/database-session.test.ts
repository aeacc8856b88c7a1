import { Prisma, type PrismaClient } from '../../src/generated/prisma/client.js';
import { checkSession, createPrismaClient } from '../../src/platform/database/client.js';
import { checkServerFacts, connect, connectionConfig, withConnection } from '../../src/platform/database/connection.js';
import { createTestDatabase, type TestDatabase } from '../support/database.js';

let database: TestDatabase;

beforeAll(async () => {
  database = await createTestDatabase();
});

afterAll(async () => {
  await database.drop();
});

async function withClient<T>(url: string, work: (client: PrismaClient) => Promise<T>): Promise<T> {
  const client = createPrismaClient({ url, poolSize: 1 });
  try {
    return await work(client);
  } finally {
    await client.$disconnect();
  }
}

const withParameter = (url: string, name: string, value: string): string => {
  const changed = new URL(url);
  changed.searchParams.set(name, value);
  return changed.toString();
};

describe('the session of the application', () => {
  it('passes with its own role, in UTC, every wait limited', async () => {
    await withClient(database.appUrl, async (client) => {
      await checkSession(client);
      const rows = await client.$queryRaw`
        SELECT current_setting('TimeZone') AS zone, current_setting('statement_timeout') AS statement,
               current_setting('lock_timeout') AS lock, current_setting('idle_in_transaction_session_timeout') AS idle`;
      expect(rows).toEqual([{ zone: 'UTC', statement: '30s', lock: '10s', idle: '30s' }]);
    });
  });

  it('stays in UTC when the address asks for another zone, and keeps the other options', async () => {
    const url = withParameter(database.appUrl, 'options', '-c timezone=Asia/Tokyo -c work_mem=5MB');
    const rows = await withConnection(url, (client) =>
      client.query(`SELECT current_setting('TimeZone') AS zone, current_setting('work_mem') AS memory`),
    );
    expect(rows.rows).toEqual([{ zone: 'UTC', memory: '5MB' }]);
  });

  it('stores and reads an instant unchanged', async () => {
    await withClient(database.appUrl, async (client) => {
      const instant = new Date('2026-07-01T12:34:56.789Z');
      const [row] = await client.$queryRaw<{ back: Date; text: string }[]>`
        SELECT ${instant}::timestamptz AS back, to_char(${instant}::timestamptz AT TIME ZONE 'UTC', 'HH24:MI') AS text`;
      expect(row).toEqual({ back: instant, text: '12:34' });
    });
  });

  it('is refused outside UTC', async () => {
    await withClient(database.appUrl, async (client) => {
      await client.$executeRaw`SET TIME ZONE 'Asia/Tokyo'`;
      await expect(checkSession(client)).rejects.toThrow('time zone is Asia/Tokyo, not UTC');
    });
  });

  it('is refused for the owner, a superuser and a role that bypasses row security', async () => {
    await expect(withClient(database.ownerUrl, checkSession)).rejects.toThrow('owns tables');
    await expect(withClient(database.superuserUrl, checkSession)).rejects.toThrow('is a superuser');
    const role = `bypass_${database.name}`;
    await withConnection(database.superuserUrl, (admin) =>
      admin.query(`CREATE ROLE ${role} LOGIN BYPASSRLS PASSWORD 'test'`),
    );
    const url = database.appUrl.replace('gaugebook_test_service', role);
    await expect(withClient(url, checkSession)).rejects.toThrow(`role "${role}", which bypasses row security.`);
    await withConnection(database.superuserUrl, (admin) => admin.query(`DROP ROLE ${role}`));
  });

  it('is refused for a role that may act as the owner of the functions', async () => {
    const role = `acting_${database.name}`;
    await withConnection(database.superuserUrl, (admin) =>
      admin.query(`CREATE ROLE ${role} LOGIN PASSWORD 'test' IN ROLE gaugebook_books`),
    );
    await expect(withClient(database.appUrl.replace('gaugebook_test_service', role), checkSession)).rejects.toThrow(
      'owns functions',
    );
    await withConnection(database.superuserUrl, (admin) => admin.query(`DROP ROLE ${role}`));
  });

  it('finds every column that the data model names', async () => {
    await withClient(database.superuserUrl, async (client) => {
      const names = Object.values(Prisma.ModelName);
      expect(names.length).toBeGreaterThan(5);
      for (const name of names) {
        const model = Reflect.get(client, name[0].toLowerCase() + name.slice(1)) as {
          findMany(args: { take: number }): Promise<unknown[]>;
        };
        expect(await model.findMany({ take: 1 })).toEqual([]);
      }
    });
  });
});

describe('a database that cannot be used', () => {
  it('is named without the password', async () => {
    const wrong = new URL(database.appUrl);
    wrong.password = 'not-the-password';
    const failure = await connect(wrong.toString()).catch((error: unknown) => error);
    expect(String(failure)).toMatch(/refuses the password of role "gaugebook_test_service"/);
    expect(String(failure)).not.toContain('not-the-password');
  });

  it('is named when nobody answers, at once', async () => {
    const started = Date.now();
    await expect(connect('postgresql://someone:x@127.0.0.1:1/nothing')).rejects.toThrow(
      'No PostgreSQL answers at 127.0.0.1:1/nothing (ECONNREFUSED).',
    );
    expect(Date.now() - started).toBeLessThan(2_000);
  });

  it('is named when it does not exist', async () => {
    await expect(connect(`${database.appUrl}_missing`)).rejects.toThrow('has no such database');
  });

  it.each([
    [{ version: 140_012, encoding: 'UTF8', zone: 'UTC' }, 'PostgreSQL 14 is too old'],
    [{ version: 150_000, encoding: 'SQL_ASCII', zone: 'UTC' }, 'encoding is SQL_ASCII'],
    [{ version: 150_000, encoding: 'UTF8', zone: 'Europe/Vienna' }, 'time zone is Europe/Vienna'],
  ])('is refused: %j', (facts, message) => {
    expect(() => checkServerFacts(facts)).toThrow(message);
  });

  it('may be of any supported version', () => {
    for (const version of [150_000, 180_004])
      expect(() => checkServerFacts({ version, encoding: 'UTF8', zone: 'UTC' })).not.toThrow();
  });

  it('keeps the options of an address that names none', () => {
    expect(connectionConfig('postgresql://a:b@h/d').options).toBe('-c timezone=UTC');
  });
});
