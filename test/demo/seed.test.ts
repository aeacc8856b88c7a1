import { afterEach, beforeEach, expect, jest, test } from '@jest/globals';
import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Transport } from '../../src/demo/client/transport.js';
import { TestService } from '../support/service.js';

// Two months of work, twice in some tests, on a machine that may be busy.
jest.setTimeout(240_000);

let service: TestService;
let dataDir: string;
beforeEach(async () => {
  service = await TestService.start();
  dataDir = await mkdtemp(join(tmpdir(), 'gaugebook-test-seed-'));
});
afterEach(async () => {
  await service.stop();
  await rm(dataDir, { recursive: true, force: true });
});

const marker = () => readFile(join(dataDir, 'demo.json'), 'utf8');
const seed = (through?: (transport: Transport) => Transport) =>
  service.program.seedDemoProducer({ client: service.client, dataDir, through });

/** Breaks off at the n-th write, after it was carried out: the answer does not arrive. */
const cutAt = (n: number) => (transport: Transport) => {
  let writes = 0;
  return async (request: Parameters<Transport>[0]) => {
    const answer = await transport(request);
    if (request.method === 'POST' && (writes += 1) === n) {
      throw new Error('the power failed');
    }
    return answer;
  };
};

interface Period {
  state: string;
}
interface Entry {
  recordedAt: string;
}

async function expectWhole(key: string): Promise<void> {
  const get = async (path: string) => (await service.expect(200, 'get', path, { key })).body as unknown;
  expect(await get('/v1/producer')).toMatchObject({ simulated: true });
  const periods = (await get('/v1/periods')) as { items: Period[] };
  expect(periods.items.map(({ state }) => state)).toEqual(['closed', 'open', 'open']);
  expect(await get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
  const lots = (await get('/v1/lots')) as { items: unknown[] };
  expect(lots.items).toHaveLength(5);
}

test('two months of an invented producer, entered in the time of the events; the key is kept until it was announced', async () => {
  const demo = await seed();
  const key = demo?.key ?? '';
  await expectWhole(key);
  const trail = (await service.expect(200, 'get', '/v1/audit-trail?limit=200', { key })).body as { items: Entry[] };
  const recorded = trail.items.map(({ recordedAt }) => recordedAt);
  expect(recorded).toEqual(recorded.toSorted());
  expect(Date.parse(recorded[0])).toBeLessThan(Date.now() - 50 * 86_400_000);
  expect((await stat(join(dataDir, 'demo.json'))).mode & 0o077).toBe(0);
  expect((await seed())?.key).toBe(key);
  await demo?.announced();
  expect(await marker()).not.toContain('gk1');
  expect(await seed()).toBeUndefined();
});

test.each([7, 75])('broken off at write %i, the next start goes on with the same producer', async (n) => {
  await expect(seed(cutAt(n))).rejects.toThrow(service.program.DemoError);
  const { key } = JSON.parse(await marker()) as { key: string };
  expect((await seed())?.key).toBe(key);
  await expectWhole(key);
  const { producer } = await service.rowCounts();
  expect(producer).toBe(1);
});

/** Which of the logbook's writes makes its first lot. */
const FIRST_LOT = 23;

test('what another version began with other entries is left alone, and made anew', async () => {
  await expect(seed(cutAt(FIRST_LOT - 1))).rejects.toThrow('the power failed');
  const begun = JSON.parse(await marker()) as { key: string; runId: string };
  const premises = (await service.expect(200, 'get', '/v1/premises', { key: begun.key })).body as {
    items: { id: string }[];
  };
  await service.expect(201, 'post', '/v1/lots', {
    key: begun.key,
    body: { premisesId: premises.items[0].id, category: 'something-else' },
    headers: { 'idempotency-key': `${begun.runId}-${FIRST_LOT}` },
  });
  const demo = await seed();
  expect(demo?.key).not.toBe(begun.key);
  await expectWhole(demo?.key ?? '');
});

test('a marker that cannot be read is said by its name', async () => {
  await writeFile(join(dataDir, 'demo.json'), '{');
  await expect(seed()).rejects.toThrow(/demo\.json/);
});
