import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fullProducer } from '../support/full-producer.js';
import type { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

interface Entry {
  version: number;
  sequence: number;
  recordedAt: string;
  previousHash: string;
  bodyHash: string;
  entryHash: string;
  body: string;
}

let service: TestService;
let floor: Floor;
let folder: string;
beforeAll(async () => {
  service = await TestService.start();
  ({ floor } = await fullProducer(service));
  folder = mkdtempSync(join(tmpdir(), 'trail-export-'));
});
afterAll(async () => {
  rmSync(folder, { recursive: true, force: true });
  await service.stop();
});

async function exported(query = ''): Promise<string> {
  const response = await service
    .call('get', `/v1/audit-trail/export${query}`, { key: floor.key })
    .buffer(true)
    .parse((stream, done) => {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', () => done(null, Buffer.concat(chunks).toString('utf8')));
    });
  expect(response.status).toBe(200);
  expect(response.headers['content-type']).toBe('application/x-ndjson');
  return response.body as string;
}

const entriesOf = (text: string): Entry[] =>
  text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as Entry);
const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

test('the export has each entry once, with exactly the fields that are hashed', async () => {
  // A text in letters beyond ASCII: the bytes have to be those that were hashed.
  await floor.post('/v1/vessels', { premisesId: floor.premisesId, name: 'Kühlgefäß №7 🍺', kind: 'fermenter' });
  const entries = entriesOf(await exported());
  const head = await floor.get('/v1/audit-trail/check');
  expect(entries.map(({ sequence }) => sequence)).toEqual(entries.map((_, index) => index + 1));
  expect(entries.length).toBe(head.entries);
  expect(entries.at(-1)?.entryHash).toBe(head.head);
  expect(await floor.get('/v1/audit-trail/head')).toEqual({ sequence: head.entries, entryHash: head.head });
  let previous = '0'.repeat(64);
  for (const entry of entries) {
    const { version, sequence, recordedAt, previousHash, bodyHash, entryHash, body, ...more } = entry;
    expect(more).toEqual({});
    expect(previousHash).toBe(previous);
    expect(bodyHash).toBe(sha256(body));
    expect(entryHash).toBe(sha256([version, sequence, recordedAt, previousHash, bodyHash, ''].join('\n')));
    previous = entryHash;
  }
  expect(entriesOf(await exported('?after=5'))[0].sequence).toBe(6);
  expect(await exported(`?after=${String(head.entries)}`)).toBe('');
});

/** The script of the page, as a reader would save it. */
function pageScript(): string {
  const page = readFileSync('docs/verify-the-trail.md', 'utf8');
  const script = /```sh\n([\s\S]*?)```/.exec(page)?.[1];
  if (script === undefined) {
    throw new Error('The page has no script.');
  }
  return script;
}

const has = (tool: string): boolean => spawnSync('which', [tool]).status === 0;
const tools = ['bash', 'jq', 'sha256sum'];
const runnable = tools.every(has);

if (!runnable) {
  console.warn(`The script of docs/verify-the-trail.md was not run: it needs ${tools.join(', ')}.`);
}

(runnable ? describe : describe.skip)('the script of the page', () => {
  const verify = (text: string, known?: string): { status: number | null; said: string } => {
    const [script, file] = [join(folder, 'verify-trail.sh'), join(folder, 'trail.ndjson')];
    writeFileSync(script, pageScript());
    writeFileSync(file, text);
    const { status, stdout, stderr } = spawnSync('bash', [script, file, ...(known === undefined ? [] : [known])], {
      encoding: 'utf8',
    });
    return { status, said: `${stdout}${stderr}`.trim() };
  };

  test('holds an export that nobody touched', async () => {
    const text = await exported();
    const entries = entriesOf(text);
    const last = entries[entries.length - 1];
    expect(verify(text)).toEqual({
      status: 0,
      said: `all entries hold, up to ${last.sequence}: ${last.entryHash}`,
    });
    expect(verify(text, entries[3].entryHash).status).toBe(0);
    expect(verify(await exported('?after=5')).status).toBe(0);
  });

  test('finds what was done to it', async () => {
    const text = await exported();
    const lines = text.trimEnd().split('\n');
    const with8 = (line: string): string => [...lines.slice(0, 7), line, ...lines.slice(8)].join('\n');
    const eighth = JSON.parse(lines[7]) as Entry;
    const body = eighth.body.replace(/\d/, (digit) => String((Number(digit) + 1) % 10));
    expect(body).not.toBe(eighth.body);
    const changed = JSON.stringify({ ...eighth, body });
    expect(verify(with8(changed))).toEqual({ status: 1, said: 'entry 8: its body was changed' });
    const rehashed = JSON.stringify({ ...eighth, body, bodyHash: sha256(body) });
    expect(verify(with8(rehashed))).toEqual({ status: 1, said: 'entry 8: its hash is not that of its lines' });
    expect(verify([...lines.slice(0, 7), lines[7].slice(0, -20)].join('\n'))).toEqual({
      status: 1,
      said: 'after entry 7: this line is not an entry',
    });
    expect(verify('')).toEqual({ status: 1, said: 'the export is empty' });
    expect(verify([...lines.slice(0, 7), ...lines.slice(8)].join('\n'))).toEqual({
      status: 1,
      said: 'entry 8 is missing',
    });
    const swapped = [...lines.slice(0, 7), lines[8], lines[7], ...lines.slice(9)].join('\n');
    expect(verify(swapped)).toEqual({ status: 1, said: 'entry 8 is missing' });
    // A tail that was cut or written anew holds in itself; the head that was noted elsewhere is not in it.
    const head = (JSON.parse(lines[lines.length - 1]) as Entry).entryHash;
    expect(verify(lines.slice(0, -1).join('\n'), head).said).toContain('the tail was cut or written anew');
  });
});
