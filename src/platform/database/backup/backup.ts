import type pg from 'pg';
import { rename, rm } from 'node:fs/promises';
import { DatabaseError } from '../connection.js';
import { VERSION } from '../../version.js';
import type { BackupHead, BackupRows, TableShape } from './backup-file.js';
import { BackupWriter, readBackup } from './backup-file.js';

const ROWS_AT_ONCE = 1_000;
/** Tables about the schema itself; a restored database has its own. */
const OF_THE_SCHEMA = ['_prisma_migrations', 'applied_sql'];
/** The texts of rows depend on these. */
const PLAIN_TEXT = `SET LOCAL timezone = 'UTC'; SET LOCAL datestyle = 'ISO'; SET LOCAL bytea_output = 'hex'; SET LOCAL extra_float_digits = 1`;

/**
 * Writes all rows of all producers as they are at one moment; the service may go on meanwhile.
 *
 * @param client a superuser's connection: row security hides rows from everybody else
 * @param file is there only once it is whole
 * @returns the number of rows
 */
export async function writeBackup(client: pg.Client, file: string, madeAt: Date): Promise<number> {
  const draft = `${file}.part`;
  await rm(draft, { force: true });
  const writer = new BackupWriter(draft);
  try {
    await client.query('BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY');
    await client.query(PLAIN_TEXT);
    const tables = await tablesOf(client);
    const head: BackupHead = {
      format: 'gaugebook-backup',
      version: 1,
      program: VERSION,
      madeAt: madeAt.toISOString(),
      migrations: await migrationsOf(client),
      tables,
    };
    await writer.head(head);
    for (const { name } of tables) {
      await client.query(
        `DECLARE every NO SCROLL CURSOR FOR SELECT t::text AS row FROM ${client.escapeIdentifier(name)} t`,
      );
      for (;;) {
        const { rows } = await client.query<{ row: string }>(`FETCH ${ROWS_AT_ONCE} FROM every`);
        if (rows.length === 0) break;
        await writer.rows({ table: name, rows: rows.map(({ row }) => row) });
      }
      await client.query('CLOSE every');
    }
    await client.query('COMMIT');
    const rows = await writer.end();
    await rename(draft, file);
    return rows;
  } catch (error) {
    await writer.abandon();
    await rm(draft, { force: true });
    throw error;
  }
}

/**
 * Fills an empty database with a backup, in one transaction. The backup is read whole and checked first.
 *
 * @param client a superuser's connection: triggers, row security and foreign keys rest while rows that fit each other come in
 * @returns the number of rows
 * @throws DatabaseError where the backup is not whole, was made by other migrations, or the database is not empty
 */
export async function restoreBackup(client: pg.Client, file: string): Promise<number> {
  for await (const part of readBackup(file)) {
    if ('format' in part) requireSame(part, await migrationsOf(client), await tablesOf(client), file);
  }
  await client.query('BEGIN');
  try {
    await client.query(PLAIN_TEXT);
    await client.query(`SET LOCAL session_replication_role = 'replica'`);
    const { rows: found } = await client.query<{ filled: boolean }>('SELECT EXISTS (SELECT FROM producer) AS filled');
    if (found[0].filled)
      throw new DatabaseError('The database holds producers: a backup is restored onto an empty one.');
    let rows = 0;
    for await (const part of readBackup(file)) {
      if ('rows' in part) rows += await insert(client, part);
    }
    await client.query('COMMIT');
    await client.query('ANALYZE');
    return rows;
  } catch (error) {
    await client.query('ROLLBACK');
    throw error;
  }
}

async function insert(client: pg.Client, { table, rows }: BackupRows): Promise<number> {
  const name = client.escapeIdentifier(table);
  const { rowCount } = await client.query(`INSERT INTO ${name} SELECT * FROM unnest($1::${name}[])`, [rows]);
  return rowCount ?? 0;
}

function requireSame(head: BackupHead, migrations: string[], tables: TableShape[], file: string): void {
  if (JSON.stringify([head.migrations, head.tables]) === JSON.stringify([migrations, tables])) return;
  throw new DatabaseError(
    `${file} was made by version ${head.program}, whose tables are not those of this one (${VERSION}). Restore it with that version, then start this one on it.`,
  );
}

async function migrationsOf(client: pg.Client): Promise<string[]> {
  const { rows } = await client.query<{ name: string }>(
    'SELECT migration_name AS name FROM _prisma_migrations WHERE finished_at IS NOT NULL ORDER BY 1',
  );
  return rows.map(({ name }) => name);
}

async function tablesOf(client: pg.Client): Promise<TableShape[]> {
  const { rows } = await client.query<TableShape>(
    `SELECT c.relname AS name, array_agg(a.attname || ' ' || format_type(a.atttypid, a.atttypmod) ORDER BY a.attnum) AS columns
       FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped
      WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> ALL ($1)
      GROUP BY c.relname ORDER BY c.relname COLLATE "C"`,
    [OF_THE_SCHEMA],
  );
  return rows;
}
