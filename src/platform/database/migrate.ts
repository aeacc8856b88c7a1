import { existsSync } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type pg from 'pg';
import { checkServer, DatabaseError, errorMessage, withConnection } from './connection.js';
import { APP_ROLE, BOOKS_ROLE, ensureRoles } from './roles.js';
import { type MigrationList, type SchemaEngine, withSchemaEngine } from './schema-engine.js';
import { applySqlFiles } from './sql-files.js';

export interface MigrateOptions {
  /** The login that owns the database and everything in it. */
  readonly ownerUrl: string;
  /** The login of the service, which becomes a member of `gaugebook_app`. */
  readonly serviceUser: string;
  /** The folder with `migrations/` and `sql/`; by default the program's own. */
  readonly prismaDir?: string;
}

export interface MigrateResult {
  readonly migrations: readonly string[];
  readonly sqlFiles: readonly string[];
}

const PRISMA_DIR = fileURLToPath(new URL('../../../prisma', import.meta.url));
const LOCK = 7_251_904;
const LOCK_TIMEOUT = '120s';
const NO_FILTERS = { externalTables: [], externalEnums: [] };

/**
 * Brings a database up to date under an advisory lock: the group roles, the migrations that are missing by Prisma's schema engine, then the SQL
 * files that changed. A second run applies nothing; a second program waits for the first.
 *
 * @throws DatabaseError when the database cannot be reached, is older than PostgreSQL 15 or not in UTC, has migrations that this version does not know, roles are missing that the owner may not
 * make, or a migration or SQL file fails: by its name. A failed one leaves nothing behind and is tried again by the next run.
 */
export async function migrate({
  ownerUrl,
  serviceUser,
  prismaDir = PRISMA_DIR,
}: MigrateOptions): Promise<MigrateResult> {
  return withConnection(ownerUrl, async (client) => {
    await checkServer(client);
    await takeLock(client);
    const list = await readMigrations(join(prismaDir, 'migrations'));
    await refuseOtherHistory(client, list);
    await ensureRoles(client, serviceUser);
    await client.query(`GRANT USAGE ON SCHEMA public TO ${APP_ROLE}, ${BOOKS_ROLE}`);
    // The owner of a function needs the right to create one, but only while functions are made.
    await client.query(`GRANT CREATE ON SCHEMA public TO ${BOOKS_ROLE}`);
    const migrations = await applyMigrations(client, ownerUrl, list);
    const sqlFiles = await applySqlFiles(client, join(prismaDir, 'sql'), migrations.length > 0);
    await client.query(`REVOKE CREATE ON SCHEMA public FROM ${BOOKS_ROLE}`);
    return { migrations, sqlFiles };
  });
}

/** Held until the connection closes. */
async function takeLock(client: pg.Client): Promise<void> {
  try {
    await client.query(`SET lock_timeout = '${LOCK_TIMEOUT}'`);
    await client.query('SELECT pg_advisory_lock($1)', [LOCK]);
    await client.query('RESET lock_timeout');
  } catch (error) {
    throw new DatabaseError(
      `Another program has been migrating this database for ${LOCK_TIMEOUT}: ${errorMessage(error)}`,
      { cause: error },
    );
  }
}

/**
 * Refuses a database that another, unreleased version of the program made: one with migrations that this version does not have.
 *
 * @throws DatabaseError saying what to do.
 */
async function refuseOtherHistory(client: pg.Client, list: MigrationList): Promise<void> {
  if (!(await hasMigrationTable(client))) return;
  const { rows } = await client.query<{ name: string }>(
    'SELECT DISTINCT migration_name AS name FROM _prisma_migrations WHERE finished_at IS NOT NULL ORDER BY 1',
  );
  const known = new Set(list.migrationDirectories.map(({ path }) => path));
  const unknown = rows.map(({ name }) => name).filter((name) => !known.has(name));
  if (unknown.length === 0) return;
  throw new DatabaseError(
    `This database was made by an older, unreleased version of Gaugebook, or by a newer one, and this version cannot take it over: it does not know ${unknown.join(', ')}. ` +
      'Start with an empty database: set DATA_DIR to a new folder, or move the .data folder away; on a server of your own, name an empty database in DATABASE_URL. To read the old records, use the version that made them.',
  );
}

async function hasMigrationTable(client: pg.Client): Promise<boolean> {
  const { rows } = await client.query<{ found: boolean }>(
    `SELECT to_regclass('public._prisma_migrations') IS NOT NULL AS found`,
  );
  return rows[0].found;
}

async function applyMigrations(client: pg.Client, ownerUrl: string, list: MigrationList): Promise<string[]> {
  if (list.migrationDirectories.length === 0) return [];
  let failed: string[] = [];
  try {
    return await withSchemaEngine(ownerUrl, async (engine) => {
      await forgetUnfinished(client, engine);
      try {
        return (await engine.applyMigrations({ migrationsList: list, filters: NO_FILTERS })).appliedMigrationNames;
      } finally {
        failed = await forgetUnfinished(client, engine);
      }
    });
  } catch (error) {
    const what = failed.length > 0 ? `Migration ${failed.join(', ')} fails` : 'The migrations cannot be applied';
    throw new DatabaseError(`${what}: ${errorMessage(error).trim()}`, { cause: error });
  }
}

/**
 * A migration is sent as one statement and so is atomic: one that did not finish left nothing behind, and may be tried again once its record
 * says so. Returns the names.
 */
async function forgetUnfinished(client: pg.Client, engine: SchemaEngine): Promise<string[]> {
  if (!(await hasMigrationTable(client))) return [];
  const { rows } = await client.query<{ name: string }>(
    'SELECT DISTINCT migration_name AS name FROM _prisma_migrations WHERE finished_at IS NULL AND rolled_back_at IS NULL ORDER BY 1',
  );
  const names = rows.map((row) => row.name);
  for (const migrationName of names) await engine.markMigrationRolledBack({ migrationName });
  return names;
}

async function readMigrations(baseDir: string): Promise<MigrationList> {
  const names = existsSync(baseDir) ? (await readdir(baseDir)).sort() : [];
  const folders = names.filter((name) => existsSync(join(baseDir, name, 'migration.sql')));
  const lockFile = 'migration_lock.toml';
  return {
    baseDir,
    lockfile: {
      path: lockFile,
      content: names.includes(lockFile) ? await readFile(join(baseDir, lockFile), 'utf8') : null,
    },
    shadowDbInitScript: '',
    migrationDirectories: await Promise.all(
      folders.map(async (path) => ({
        path,
        migrationFile: {
          path: 'migration.sql',
          content: { tag: 'ok' as const, value: await readFile(join(baseDir, path, 'migration.sql'), 'utf8') },
        },
      })),
    ),
  };
}
