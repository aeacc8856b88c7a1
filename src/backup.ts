import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { noDemoProducer } from './demo/seed.js';
import { restoreBackup, writeBackup } from './platform/database/backup/backup.js';
import { parseSettings, SettingsError } from './platform/config.js';
import { DatabaseError, withConnection } from './platform/database/connection.js';
import { administratorUrl } from './platform/database/embedded.js';
import { openDatabase } from './platform/database/open.js';

const USAGE = `Backups of the database that the program keeps under DATA_DIR (.data if that is not set).

  npm run backup -- FILE    writes all of it as it is at one moment, while the service runs or not
  npm run restore -- FILE   onto an empty data folder, with the version of the program that wrote it

A PostgreSQL of your own is backed up with its own pg_dump and pg_restore.`;

class UsageError extends Error {}

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

function dataDirOf(): string {
  const { database } = parseSettings(process.env, process.cwd());
  if (database.kind === 'embedded') return database.dataDir;
  throw new UsageError('DATABASE_URL names a PostgreSQL of your own: back it up with its own pg_dump and pg_restore.');
}

async function make(file: string): Promise<void> {
  if (existsSync(file)) throw new UsageError(`${file} is there already.`);
  const dataDir = dataDirOf();
  const write = (url: string): Promise<number> =>
    withConnection(url, (client) => writeBackup(client, file, new Date()));
  const running = await administratorUrl(dataDir);
  const rows = running === undefined ? await opened(dataDir, write) : await write(running);
  say(`${rows} rows are in ${file}. It holds everything of every producer: keep it where only you can read it.`);
}

async function restore(file: string): Promise<void> {
  const dataDir = dataDirOf();
  const rows = await opened(dataDir, (url) => withConnection(url, (client) => restoreBackup(client, file)));
  await noDemoProducer(dataDir);
  say(
    `${rows} rows were restored into ${dataDir}. Start the service, and let GET /v1/audit-trail/check walk each producer's trail.`,
  );
}

/** Starts the database for a while, and makes it first where there is none. */
async function opened<T>(dataDir: string, work: (url: string) => Promise<T>): Promise<T> {
  const database = await openDatabase({ database: { kind: 'embedded', dataDir } });
  try {
    return await work((await administratorUrl(dataDir)) ?? '');
  } finally {
    await database.close();
  }
}

async function main([command, file, ...more]: readonly string[]): Promise<void> {
  if (file === undefined || more.length > 0 || (command !== 'make' && command !== 'restore'))
    throw new UsageError(USAGE);
  await (command === 'make' ? make(resolve(file)) : restore(resolve(file)));
}

main(process.argv.slice(2)).catch((error: unknown) => {
  const foreseen = error instanceof UsageError || error instanceof SettingsError || error instanceof DatabaseError;
  process.stderr.write(`${foreseen ? error.message : String(error instanceof Error ? error.stack : error)}\n`);
  process.exitCode = 1;
});
