import { afterAll, expect, test } from '@jest/globals';
import type { ChildProcess } from 'node:child_process';
import { execFile, spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readFile, rm, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const MAIN = fileURLToPath(new URL('../../dist/main.js', import.meta.url));
const BACKUP = fileURLToPath(new URL('../../dist/backup.js', import.meta.url));
/** Far above what is promised: the machine may be busy. */
const LONGEST_FIRST_START_MS = 90_000;
const LONGEST_LATER_START_MS = 30_000;
const POLL_MS = 20;

const folders: string[] = [];
const newFolder = (): string => {
  const folder = join(tmpdir(), `gaugebook-test-start-${randomBytes(6).toString('hex')}`);
  folders.push(folder);
  return folder;
};

const postmaster = (dataDir: string) => join(dataDir, 'postgres', 'postmaster.pid');

/** Ends the database of a program that was killed, if a test broke off there. */
afterAll(async () => {
  for (const folder of folders) {
    if (existsSync(postmaster(folder))) {
      const [pid] = (await readFile(postmaster(folder), 'utf8')).split('\n');
      process.kill(Number(pid), 'SIGQUIT');
      await delay(500);
    }
    await rm(folder, { recursive: true, force: true });
  }
});

/** The program as `npm start` runs it, with these settings only. */
class Program {
  output = '';
  readonly exited: Promise<number | null>;
  readonly #child: ChildProcess;
  readonly #started = performance.now();

  constructor(settings: Record<string, string>) {
    const { PATH = '', HOME = '' } = process.env;
    this.#child = spawn(process.execPath, ['--enable-source-maps', MAIN], {
      env: { PATH, HOME, PORT: '0', LOG_LEVEL: 'warn', ...settings },
      cwd: tmpdir(),
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.#child.stdout?.on('data', (text: Buffer) => (this.output += text.toString()));
    this.#child.stderr?.on('data', (text: Buffer) => (this.output += text.toString()));
    this.exited = new Promise((resolve) => this.#child.once('exit', resolve));
  }

  /** Milliseconds until it said that it is ready, and is. */
  async ready(): Promise<number> {
    while (!this.output.includes('is ready after')) {
      if (this.#child.exitCode !== null) throw new Error(`It ended: ${this.output}`);
      await delay(POLL_MS);
    }
    expect((await fetch(`${this.url}/health/ready`)).status).toBe(200);
    return performance.now() - this.#started;
  }

  get url(): string {
    return /http:\/\/\S+/.exec(this.output)?.[0] ?? '';
  }

  get key(): string | undefined {
    return /gk1\.[\w.-]+/.exec(this.output)?.[0];
  }

  end(signal: NodeJS.Signals): Promise<number | null> {
    this.#child.kill(signal);
    return this.exited;
  }
}

/** `npm run backup` or `npm run restore`. */
async function runCommand(command: 'make' | 'restore', file: string, dataDir: string): Promise<void> {
  const { PATH = '', HOME = '' } = process.env;
  const env = { PATH, HOME, DATA_DIR: dataDir };
  await promisify(execFile)(process.execPath, [BACKUP, command, file], { env, cwd: tmpdir() });
}

test('first start with its invented producer; killed; started again with its data and without a key; stopped in order', async () => {
  const dataDir = newFolder();
  const first = new Program({ DATA_DIR: dataDir });
  const firstMs = await first.ready();
  while (!first.output.includes('curl')) await delay(POLL_MS);
  const key = first.key ?? '';
  expect(first.output).toContain(`${first.url}/docs`);
  const periods = async (program: Program) => {
    const answer = await fetch(`${program.url}/v1/periods`, { headers: { authorization: `Bearer ${key}` } });
    expect(answer.status).toBe(200);
    return (await answer.json()) as { items: { id: string; state: string; report?: { hash: string } }[] };
  };
  /** Printed in a thread of its own, which there is only in the compiled program. */
  const printed = async (program: Program, id: string) => {
    const get = (path: string) => fetch(`${program.url}${path}`, { headers: { authorization: `Bearer ${key}` } });
    let state = await get(`/v1/periods/${id}/report/print-state`);
    expect([state.status, state.headers.get('retry-after')]).toEqual([202, '1']);
    while (state.status === 202) {
      expect(await state.json()).not.toHaveProperty('document');
      await delay(POLL_MS);
      state = await get(`/v1/periods/${id}/report/print-state`);
    }
    const { stage, document, sizeBytes } = (await state.json()) as Record<string, string>;
    expect(stage).toBe('ready');
    const pdf = Buffer.from(await (await get(document)).arrayBuffer());
    expect(pdf.byteLength).toBe(sizeBytes);
    return pdf;
  };
  const before = await periods(first);
  expect(before.items.map(({ state }) => state)).toEqual(['closed', 'open', 'open']);
  const pdf = await printed(first, before.items[0].id);
  expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
  await first.end('SIGKILL');
  expect(existsSync(postmaster(dataDir))).toBe(true);

  const second = new Program({ DATA_DIR: dataDir });
  const secondMs = await second.ready();
  expect(second.key).toBeUndefined();
  expect(await periods(second)).toEqual(before);
  expect((await printed(second, before.items[0].id)).equals(pdf)).toBe(true);

  const backup = `${dataDir}.backup`;
  folders.push(backup);
  await runCommand('make', backup, dataDir);
  const restored = newFolder();
  await runCommand('restore', backup, restored);
  const again = new Program({ DATA_DIR: restored });
  await again.ready();
  expect(await periods(again)).toEqual(before);
  expect((await printed(again, before.items[0].id)).equals(pdf)).toBe(true);
  expect(await again.end('SIGTERM')).toBe(0);
  expect(again.key).toBeUndefined();

  const begun = Promise.all(Array.from({ length: 20 }, () => fetch(`${second.url}/docs`)));
  await delay(POLL_MS);
  const ended = second.end('SIGTERM');
  await delay(POLL_MS * 5);
  const draining = await fetch(`${second.url}/health/ready`);
  expect(draining.status).toBe(503);
  expect((await begun).map(({ status }) => status)).toEqual(Array.from({ length: 20 }, () => 200));
  expect(await ended).toBe(0);
  expect(existsSync(postmaster(dataDir))).toBe(false);
  expect(`${first.output}${second.output}`.split(key)).toHaveLength(3);

  const third = new Program({ DATA_DIR: dataDir });
  const thirdMs = await third.ready();
  expect(await third.end('SIGTERM')).toBe(0);
  expect(firstMs).toBeLessThan(LONGEST_FIRST_START_MS);
  expect(Math.max(secondMs, thirdMs)).toBeLessThan(LONGEST_LATER_START_MS);
}, 240_000);

test('a port that is taken is said before anything is made', async () => {
  const dataDir = newFolder();
  const other = createServer().listen(0, '127.0.0.1');
  await new Promise((resolve) => other.once('listening', resolve));
  const address = other.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  const program = new Program({ DATA_DIR: dataDir, PORT: String(port) });
  expect(await program.exited).toBe(1);
  expect(program.output).toContain('another program listens on that port already');
  expect(program.output).toContain('set PORT to a free one');
  expect(existsSync(dataDir)).toBe(false);
  await new Promise((resolve) => other.close(resolve));
});

test.each([
  ['a file where the data folder should be', {}, /DATA_DIR \S+ cannot be made/],
  ['an unknown setting', { GAUGEBOOK_PORT: '1' }, /GAUGEBOOK_PORT is not a setting/],
  ['a misspelled setting', { DATA_DIRR: 'x' }, /DATA_DIRR is not a setting; DATA_DIR was probably meant/],
  [
    'one database address without the other',
    { DATABASE_URL: 'postgresql://a:b@127.0.0.1:1/x' },
    /MIGRATION_DATABASE_URL is missing/,
  ],
])('%s stops the start with its name', async (_what, settings, words) => {
  const blocked = newFolder();
  await writeFile(blocked, 'not a folder');
  const program = new Program({ DATA_DIR: blocked, ...settings });
  expect(await program.exited).toBe(1);
  expect(program.output).toMatch(words);
  expect(program.output).not.toMatch(/^\s+at /m);
});
