import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type pg from 'pg';
import { DatabaseError, errorMessage } from './connection.js';

interface SqlFile {
  readonly name: string;
  readonly text: string;
  readonly sha256: string;
}

const TABLE = `
CREATE TABLE IF NOT EXISTS applied_sql (
  name text PRIMARY KEY,
  sha256 text NOT NULL,
  applied_at timestamptz NOT NULL DEFAULT clock_timestamp()
)`;

/** The SQL files of a folder in the order in which they are applied. */
async function readSqlFiles(folder: string): Promise<SqlFile[]> {
  if (!existsSync(folder)) return [];
  const names = (await readdir(folder)).filter((name) => name.endsWith('.sql')).sort();
  return Promise.all(
    names.map(async (name) => {
      const text = await readFile(join(folder, name), 'utf8');
      return { name, text, sha256: createHash('sha256').update(text).digest('hex') };
    }),
  );
}

/**
 * Applies the SQL files whose text differs from what was last applied, all in one transaction, and returns their names. A file that no longer exists
 * removes nothing. With `all`, every file is applied: after a migration, a file may grant on tables that were not there before.
 *
 * @throws DatabaseError naming the file that fails; then none is applied.
 */
export async function applySqlFiles(client: pg.Client, folder: string, all: boolean): Promise<string[]> {
  const files = await readSqlFiles(folder);
  await client.query('BEGIN');
  try {
    await client.query(TABLE);
    const { rows } = await client.query<{ name: string; sha256: string }>('SELECT name, sha256 FROM applied_sql');
    const applied = new Map(rows.map((row) => [row.name, row.sha256]));
    const pending = files.filter((file) => all || applied.get(file.name) !== file.sha256);
    for (const file of pending) await applyFile(client, file);
    await client.query('COMMIT');
    return pending.map((file) => file.name);
  } catch (error) {
    await client.query('ROLLBACK').catch(() => undefined);
    throw error;
  }
}

async function applyFile(client: pg.Client, file: SqlFile): Promise<void> {
  try {
    await client.query(file.text);
    await client.query(
      `INSERT INTO applied_sql (name, sha256) VALUES ($1, $2)
       ON CONFLICT (name) DO UPDATE SET sha256 = excluded.sha256, applied_at = clock_timestamp()`,
      [file.name, file.sha256],
    );
  } catch (error) {
    throw new DatabaseError(`prisma/sql/${file.name} fails: ${errorMessage(error)}${placeOf(error, file.text)}`, {
      cause: error,
    });
  }
}

/** The line of the script that an error points to. */
function placeOf(error: unknown, text: string): string {
  const position = typeof error === 'object' && error !== null ? Number(Reflect.get(error, 'position')) : NaN;
  return Number.isInteger(position) ? ` (line ${text.slice(0, position).split('\n').length})` : '';
}
