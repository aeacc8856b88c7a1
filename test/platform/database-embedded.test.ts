import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { withConnection } from '../../src/platform/database/connection.js';
import { type EmbeddedDatabase, startEmbedded } from '../../src/platform/database/embedded.js';
import { isAlive, runningServer } from '../../src/platform/database/embedded-process.js';

const CHILD = fileURLToPath(new URL('../support/embedded-child.mjs', import.meta.url));
const FAST = { fsync: 'off' };

let folder: string;
let dataDir: string;
let cluster: string;
let program: EmbeddedDatabase | undefined;

const start = async (): Promise<EmbeddedDatabase> => {
  program = await startEmbedded({ dataDir, serverSettings: FAST });
  return program;
};

/** A program of its own that starts the database, says its address and waits. */
async function startChild(): Promise<{ child: ChildProcess; ownerUrl: string }> {
  const child = spawn(process.execPath, [CHILD, dataDir], { stdio: ['ignore', 'pipe', 'inherit'] });
  for await (const line of createInterface({ input: child.stdout })) return { child, ownerUrl: line };
  throw new Error('The child ended without a word.');
}

const notes = (url: string): Promise<number> =>
  withConnection(
    url,
    async (client) => (await client.query<{ n: number }>('SELECT count(*)::int AS n FROM note')).rows[0].n,
  );

// One folder for all, as making a database is what takes the time; mkdtemp closes it to others, as a private home would be.
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'gaugebook-embedded-'));
  dataDir = join(folder, 'data');
  cluster = join(dataDir, 'postgres');
  const first = await start();
  expect(first.created).toBe(true);
  await withConnection(first.ownerUrl, (client) => client.query('CREATE TABLE note AS SELECT 1 AS id'));
  await first.stop();
});

afterEach(async () => {
  await program?.stop();
  program = undefined;
});

afterAll(async () => {
  await rm(folder, { recursive: true });
});

describe('the embedded database', () => {
  it('keeps its data over a stop, and its passwords to itself', async () => {
    const again = await start();
    expect([again.created, again.attached]).toEqual([false, false]);
    expect(await notes(again.ownerUrl)).toBe(1);
    expect((await stat(join(dataDir, 'secrets.json'))).mode & 0o777).toBe(0o600);
    expect((await stat(cluster)).mode & 0o777).toBe(0o700);
  });

  it('listens on this machine only, wants passwords, speaks UTF-8 and UTC', async () => {
    const { superuserUrl, ownerUrl, appUrl } = await start();
    const facts = await withConnection(superuserUrl, async (client) => {
      const { rows } = await client.query(
        `SELECT current_setting('listen_addresses') AS listens, current_setting('unix_socket_directories') AS sockets,
                current_setting('log_timezone') AS zone, pg_encoding_to_char(encoding) AS encoding
         FROM pg_database WHERE datname = 'gaugebook'`,
      );
      const methods = await client.query(`SELECT DISTINCT auth_method FROM pg_hba_file_rules`);
      return [...rows, ...methods.rows];
    });
    expect(facts).toEqual([
      { listens: '127.0.0.1', sockets: '', zone: 'UTC', encoding: 'UTF8' },
      { auth_method: 'scram-sha-256' },
    ]);
    for (const url of [superuserUrl, ownerUrl, appUrl]) {
      const wrong = new URL(url);
      wrong.password = 'test';
      await expect(withConnection(wrong.toString(), (client) => client.query('SELECT 1'))).rejects.toThrow(
        'refuses the password',
      );
    }
  });

  it('gives the two logins no more than they need', async () => {
    const { superuserUrl } = await start();
    const roles = await withConnection(superuserUrl, (client) =>
      client.query(
        `SELECT rolname, rolsuper OR rolbypassrls OR rolcreatedb OR rolreplication AS strong, rolcreaterole FROM pg_roles
         WHERE rolname IN ('gaugebook_owner', 'gaugebook_service') ORDER BY rolname`,
      ),
    );
    expect(roles.rows).toEqual([
      { rolname: 'gaugebook_owner', strong: false, rolcreaterole: true },
      { rolname: 'gaugebook_service', strong: false, rolcreaterole: false },
    ]);
  });

  it('is found again, with its data, after the program was killed', async () => {
    const { child, ownerUrl } = await startChild();
    await withConnection(ownerUrl, (client) => client.query('INSERT INTO note VALUES (2)'));
    const server = await runningServer(cluster);
    child.kill('SIGKILL');
    await once(child, 'exit');
    expect(server !== undefined && isAlive(server.pid)).toBe(true);

    const began = Date.now();
    const attached = await start();
    expect(Date.now() - began).toBeLessThan(3_000);
    expect(attached.attached).toBe(true);
    expect(attached.ownerUrl).toBe(ownerUrl);
    expect(await notes(attached.ownerUrl)).toBe(2);
    await attached.stop();
    expect(await runningServer(cluster)).toBeUndefined();
  });

  it('starts again after the server itself was killed', async () => {
    await start();
    const server = await runningServer(cluster);
    expect(server?.status).toBe('ready');
    if (server) process.kill(server.pid, 'SIGKILL');
    await program?.stop();
    const again = await start();
    expect(again.attached).toBe(false);
    expect(await notes(again.ownerUrl)).toBe(2);
  });

  it('refuses a second program while the first runs, and serves the first on', async () => {
    const { child, ownerUrl } = await startChild();
    await expect(startEmbedded({ dataDir })).rejects.toThrow(
      `DATA_DIR ${dataDir} is in use by another running program.`,
    );
    expect(await notes(ownerUrl)).toBe(2);
    child.kill('SIGTERM');
    await once(child, 'exit');
    expect(await runningServer(cluster)).toBeUndefined();
  });

  it('starts over a pid file whose number belongs to some other program by now', async () => {
    await writeFile(
      join(cluster, 'postmaster.pid'),
      `${process.pid}\n${cluster}\n1700000000\n5432\n\n127.0.0.1\n  1 1\nready   \n`,
    );
    const again = await start();
    expect(again.attached).toBe(false);
    expect(await notes(again.ownerUrl)).toBe(2);
  });

  it('says what stands in its way: the password file is gone', async () => {
    const file = join(dataDir, 'secrets.json');
    const secrets = await readFile(file);
    await rm(file);
    await expect(startEmbedded({ dataDir })).rejects.toThrow(`${file} is missing`);
    await writeFile(file, secrets, { mode: 0o600 });
  });

  it('says what stands in its way: a file where the folder should be', async () => {
    const file = join(folder, 'a-file');
    await writeFile(file, '');
    await expect(startEmbedded({ dataDir: join(file, 'data') })).rejects.toThrow(
      `DATA_DIR ${join(file, 'data')} cannot be made`,
    );
  });

  it('says what stands in its way: files of another version', async () => {
    const file = join(cluster, 'PG_VERSION');
    const version = await readFile(file, 'utf8');
    await writeFile(file, '12\n');
    await expect(startEmbedded({ dataDir })).rejects.toThrow(/does not start: .*version 12/s);
    await writeFile(file, version);
  });
});
