import { cp, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseError, withConnection } from '../../src/platform/database/connection.js';
import { migrate, type MigrateResult } from '../../src/platform/database/migrate.js';
import { createEmptyDatabase, TEST_SERVICE, type TestDatabase } from '../support/database.js';

const FIRST = '20260101000000_first';
const SECOND = '20260102000000_second';
const NOTE_FUNCTION = (value: number): string => `
CREATE OR REPLACE FUNCTION noted() RETURNS int LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog AS $$
BEGIN
  PERFORM 1; RETURN ${value};
END; $$;
ALTER FUNCTION noted() OWNER TO gaugebook_books;
GRANT EXECUTE ON FUNCTION noted() TO gaugebook_app;
`;

let prismaDir: string;
let database: TestDatabase;

const run = (): Promise<MigrateResult> =>
  migrate({ ownerUrl: database.ownerUrl, serviceUser: TEST_SERVICE, prismaDir });

async function writeMigration(name: string, sql: string): Promise<void> {
  await mkdir(join(prismaDir, 'migrations', name), { recursive: true });
  await writeFile(join(prismaDir, 'migrations', name, 'migration.sql'), sql);
}

async function writeSql(name: string, sql: string): Promise<void> {
  await writeFile(join(prismaDir, 'sql', name), sql);
}

async function query<T extends object>(sql: string, url = database.ownerUrl): Promise<T[]> {
  return withConnection(url, async (client) => (await client.query<T>(sql)).rows);
}

beforeEach(async () => {
  prismaDir = await mkdtemp(join(tmpdir(), 'gaugebook-migrations-'));
  await mkdir(join(prismaDir, 'sql'));
  await writeMigration(FIRST, `CREATE TABLE note (id int PRIMARY KEY, body text DEFAULT 'a;b');`);
  await writeFile(join(prismaDir, 'migrations', 'migration_lock.toml'), 'provider = "postgresql"\n');
  await writeSql('10_noted.sql', NOTE_FUNCTION(1));
  await writeSql('20_grant.sql', 'GRANT SELECT ON ALL TABLES IN SCHEMA public TO gaugebook_app;');
  database = await createEmptyDatabase();
});

afterEach(async () => {
  await database.drop();
  await rm(prismaDir, { recursive: true });
});

describe('migration', () => {
  it('applies everything once, and nothing the second time', async () => {
    expect(await run()).toEqual({ migrations: [FIRST], sqlFiles: ['10_noted.sql', '20_grant.sql'] });
    expect(await run()).toEqual({ migrations: [], sqlFiles: [] });
    expect(await query('SELECT noted(), (SELECT count(*)::int FROM note) AS notes', database.appUrl)).toEqual([
      { noted: 1, notes: 0 },
    ]);
    const owners = await query(`SELECT pg_get_userbyid(proowner) AS owner FROM pg_proc WHERE proname = 'noted'`);
    expect(owners).toEqual([{ owner: 'gaugebook_books' }]);
  });

  it('does not take a database with migrations that it does not know, says what to do, and leaves it as it was', async () => {
    await run();
    await rm(join(prismaDir, 'migrations', FIRST), { recursive: true });
    await writeMigration(SECOND, 'CREATE TABLE other (id int PRIMARY KEY);');
    await writeSql('10_noted.sql', NOTE_FUNCTION(2));
    const message = await run().then(
      () => '',
      (error: unknown) => (error instanceof DatabaseError ? error.message : String(error)),
    );
    expect(message).toMatch(/unreleased version of Gaugebook/);
    expect(message).toContain(FIRST);
    expect(message).toMatch(/set DATA_DIR to a new folder/);
    const state = await query(`SELECT noted(), to_regclass('public.other') IS NULL AS "isAsBefore"`);
    expect(state).toEqual([{ noted: 1, isAsBefore: true }]);
  });

  it('leaves nobody but the owner the right to make things', async () => {
    await run();
    const rights = await query(
      `SELECT rolname FROM pg_roles WHERE NOT rolsuper AND rolname LIKE 'gaugebook%' AND has_schema_privilege(rolname, 'public', 'CREATE')`,
    );
    expect(rights).toEqual([{ rolname: 'gaugebook_test_owner' }]);
    await expect(query('CREATE TABLE mine (id int)', database.appUrl)).rejects.toThrow('permission denied');
  });

  it('applies a file of SQL again when its text changed, and only that one', async () => {
    await run();
    await writeSql('10_noted.sql', NOTE_FUNCTION(2));
    expect(await run()).toEqual({ migrations: [], sqlFiles: ['10_noted.sql'] });
    expect(await query('SELECT noted()', database.appUrl)).toEqual([{ noted: 2 }]);
    await rm(join(prismaDir, 'sql', '10_noted.sql'));
    expect(await run()).toEqual({ migrations: [], sqlFiles: [] });
    expect(await query('SELECT noted()', database.appUrl)).toEqual([{ noted: 2 }]);
  });

  it('applies every file of SQL again after a migration, so that grants reach new tables', async () => {
    await run();
    await writeMigration(SECOND, 'CREATE TABLE other (id int);');
    expect(await run()).toEqual({ migrations: [SECOND], sqlFiles: ['10_noted.sql', '20_grant.sql'] });
    expect(await query('SELECT count(*)::int AS n FROM other', database.appUrl)).toEqual([{ n: 0 }]);
  });

  it('lets one of two programs that start at once do the work', async () => {
    const results = await Promise.all([run(), run(), run()]);
    expect(results.map(({ migrations }) => migrations.length).sort()).toEqual([0, 0, 1]);
    expect(results.map(({ sqlFiles }) => sqlFiles.length).sort()).toEqual([0, 0, 2]);
  });

  it('lets two databases of one server be migrated at once, although they share the roles', async () => {
    const other = await createEmptyDatabase();
    const otherDir = await mkdtemp(join(tmpdir(), 'gaugebook-migrations-'));
    await cp(prismaDir, otherDir, { recursive: true });
    const results = await Promise.all([
      run(),
      migrate({ ownerUrl: other.ownerUrl, serviceUser: TEST_SERVICE, prismaDir: otherDir }),
    ]);
    await other.drop();
    await rm(otherDir, { recursive: true });
    expect(results.map(({ migrations }) => migrations)).toEqual([[FIRST], [FIRST]]);
  });

  it('names a migration that fails, keeps nothing of it, and applies it once it is mended', async () => {
    await writeMigration(SECOND, 'CREATE TABLE half (id int); CREATE TABLE note (id int);');
    await expect(run()).rejects.toThrow(new RegExp(`Migration ${SECOND} fails.*"note" already exists`, 's'));
    expect(await query(`SELECT to_regclass('half') AS half, to_regclass('note') IS NOT NULL AS note`)).toEqual([
      { half: null, note: true },
    ]);
    await writeMigration(SECOND, 'CREATE TABLE half (id int);');
    expect((await run()).migrations).toEqual([SECOND]);
    expect((await run()).migrations).toEqual([]);
  });

  it('takes up a migration during which the program was killed', async () => {
    await run();
    await query(`INSERT INTO _prisma_migrations (id, checksum, migration_name, started_at, applied_steps_count)
                 VALUES ('x', 'x', '${SECOND}', now(), 0)`);
    await writeMigration(SECOND, 'CREATE TABLE half (id int);');
    expect((await run()).migrations).toEqual([SECOND]);
  });

  it('names a file of SQL that fails with its line, and applies none of the others', async () => {
    await run();
    await writeSql('10_noted.sql', NOTE_FUNCTION(3));
    await writeSql('30_bad.sql', 'SELECT 1;\nSELECT missing_column FROM note;\n');
    await expect(run()).rejects.toThrow(/prisma\/sql\/30_bad.sql fails: .*missing_column.* \(line 2\)/);
    expect(await query('SELECT noted()', database.appUrl)).toEqual([{ noted: 1 }]);
    await rm(join(prismaDir, 'sql', '30_bad.sql'));
    expect((await run()).sqlFiles).toEqual(['10_noted.sql']);
  });

  it('says which role is missing', async () => {
    const started = migrate({ ownerUrl: database.ownerUrl, serviceUser: 'nobody_at_all', prismaDir });
    await expect(started).rejects.toThrow('The service\'s role "nobody_at_all" does not exist or cannot log in.');
  });

  it('tells what an administrator has to run when the owner may not make it', async () => {
    const weak = `weak_${database.name}`;
    const service = `service_${database.name}`;
    await query(
      `CREATE ROLE ${weak} LOGIN PASSWORD 'test'; CREATE ROLE ${service} LOGIN; ALTER DATABASE ${database.name} OWNER TO ${weak}`,
      database.superuserUrl,
    );
    const ownerUrl = database.ownerUrl.replace('gaugebook_test_owner', weak);
    const started = migrate({ ownerUrl, serviceUser: service, prismaDir });
    await expect(started).rejects.toThrow(`GRANT gaugebook_books TO "${weak}"`);
    await query(`GRANT gaugebook_books TO ${weak}; GRANT gaugebook_app TO ${service}`, database.superuserUrl);
    expect((await migrate({ ownerUrl, serviceUser: service, prismaDir })).migrations).toEqual([FIRST]);
    await database.drop();
    await query(`DROP ROLE ${weak}; DROP ROLE ${service}`, database.superuserUrl.replace(/\/test_\w+$/, '/postgres'));
  });
});
