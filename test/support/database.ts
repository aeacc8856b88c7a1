import { randomBytes } from 'node:crypto';
import type { Program } from './program.js';
import { loadProgram } from './program.js';

export interface TestDatabase {
  readonly name: string;
  /** Owns the database and may make roles. */
  readonly ownerUrl: string;
  /** What the service logs in with. */
  readonly appUrl: string;
  readonly superuserUrl: string;
  /** Also while somebody is still connected. */
  drop(): Promise<void>;
}

export const TEST_OWNER = 'gaugebook_test_owner';
export const TEST_SERVICE = 'gaugebook_test_service';
const TEST_PASSWORD = 'test';

/** A database of its own with the whole schema, cloned from the template that the run made. */
export function createTestDatabase(): Promise<TestDatabase> {
  return cloneTestDatabase(setting('TEST_DATABASE_TEMPLATE'));
}

/** A database of its own with nothing in it, for tests of migration. */
export function createEmptyDatabase(): Promise<TestDatabase> {
  return cloneTestDatabase('template0');
}

function setting(name: string): string {
  const value = process.env[name];
  if (value === undefined) throw new Error(`${name} is not set: test/support/global-setup.mjs did not run.`);
  return value;
}

/** The comment that a template was kept with; undefined when there is none of this name. */
export async function templateComment(name: string): Promise<string | undefined> {
  return withConnection(setting('TEST_DATABASE_ADMIN_URL'), async (admin) => {
    const { rows } = await admin.query<{ comment: string | null }>(
      `SELECT shobj_description(oid, 'pg_database') AS comment FROM pg_database WHERE datname = $1`,
      [name],
    );
    return rows.at(0)?.comment ?? undefined;
  });
}

/** A database that nobody uses any more becomes a template, with statistics as autovacuum would have made them in time. */
export async function keepAsTemplate(database: TestDatabase, name: string, comment: string): Promise<void> {
  await withConnection(database.superuserUrl, (own) => own.query('VACUUM ANALYZE'));
  await withConnection(setting('TEST_DATABASE_ADMIN_URL'), async (admin) => {
    await admin.query(`ALTER DATABASE ${database.name} ALLOW_CONNECTIONS false`);
    await admin.query('SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = $1', [database.name]);
    await admin.query(`COMMENT ON DATABASE ${database.name} IS ${admin.escapeLiteral(comment)}`);
    await admin.query(`ALTER DATABASE ${database.name} IS_TEMPLATE true`);
    await admin.query(`ALTER DATABASE ${database.name} RENAME TO ${name}`);
  });
}

/** A database of its own, cloned from a template. */
export async function cloneTestDatabase(template: string): Promise<TestDatabase> {
  const adminUrl = setting('TEST_DATABASE_ADMIN_URL');
  const name = `test_${process.pid}_${randomBytes(6).toString('hex')}`;
  await withConnection(adminUrl, (admin) =>
    admin.query(`CREATE DATABASE ${name} OWNER ${TEST_OWNER} TEMPLATE ${template} ENCODING UTF8`),
  );
  const as = (role: string): string => {
    const url = new URL(adminUrl);
    url.username = role;
    url.password = TEST_PASSWORD;
    url.pathname = `/${name}`;
    return url.toString();
  };
  const superuser = new URL(adminUrl);
  superuser.pathname = `/${name}`;
  return {
    name,
    ownerUrl: as(TEST_OWNER),
    appUrl: as(TEST_SERVICE),
    superuserUrl: superuser.toString(),
    drop: async () => {
      await withConnection(adminUrl, (admin) => admin.query(`DROP DATABASE IF EXISTS ${name} WITH (FORCE)`));
    },
  };
}

const withConnection: Program['withConnection'] = async (url, use) => (await loadProgram()).withConnection(url, use);
