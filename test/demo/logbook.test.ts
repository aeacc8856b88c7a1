import { afterAll, beforeAll, expect, jest, test } from '@jest/globals';
import { randomUUID } from 'node:crypto';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Calendar } from '../../src/demo/client/calendar.js';
import { FigureOff } from '../../src/demo/client/checks.js';
import { logbook } from '../../src/demo/logbook/logbook.js';
import { writeOutcome } from '../../src/demo/outcome.js';
import { lineOf } from '../../src/demo/play.js';
import type { Transport, WireAnswer } from '../../src/demo/client/transport.js';
import { overHttp } from '../../src/demo/client/transport.js';
import { World } from '../../src/demo/client/world.js';
import { TestService } from '../support/service.js';

// Two months of work in each test, on a machine that may be busy.
jest.setTimeout(240_000);

let service: TestService;
let url: string;
let folder: string;
beforeAll(async () => {
  service = await TestService.start();
  await service.app.listen(0, '127.0.0.1');
  url = await service.app.getUrl();
  folder = await mkdtemp(join(tmpdir(), 'gaugebook-test-demo-'));
});
afterAll(async () => {
  await service.stop();
  await rm(folder, { recursive: true, force: true });
});

const calendar = new Calendar(new Date(), 'Europe/London');

async function worldOf(transport: Transport): Promise<World> {
  const { key } = await service.newProducer('Demo (invented)');
  return new World({ transport, key, runId: randomUUID(), calendar });
}

async function play(world: World) {
  const { entries, closed } = logbook(world, { closeSecond: true });
  const lines: string[] = [];
  for (const entry of entries) {
    lines.push(lineOf(calendar, entry, await entry.run()));
  }
  return { closed, lines };
}

/** A service that says something else in its answers to some requests. */
const tampered =
  (path: RegExp, change: (answer: WireAnswer) => string): Transport =>
  async (request) => {
    const answer = await overHttp(url)(request);
    return path.test(request.path) && answer.status < 300 ? { ...answer, text: change(answer) } : answer;
  };

test('two months over HTTP, every figure as the notebook has it, and the files left in a folder', async () => {
  const world = await worldOf(overHttp(url));
  const { closed, lines } = await play(world);
  expect(closed).toHaveLength(2);
  expect(lines.length).toBeGreaterThan(50);
  await writeOutcome(world, closed, lines, folder);
  const report = JSON.parse(await readFile(join(folder, 'report.json'), 'utf8')) as {
    status: string;
    reconciliation: { balances: boolean };
    opening: { source: string };
  };
  expect(report).toMatchObject({
    status: 'closed',
    reconciliation: { balances: true },
    opening: { source: 'frozen-report' },
  });
  expect(await readFile(join(folder, 'report.csv'), 'utf8')).toContain('reconciliation');
  expect(await readFile(join(folder, 'summary.txt'), 'utf8')).toContain(
    'Local regulations and licensed practice decide',
  );
  expect(world.checks.count).toBeGreaterThan(700);
});

test('a strength that is off by a tenth of a per cent of its litres is named', async () => {
  const world = await worldOf(
    tampered(/\/packagings$/, ({ text }) =>
      JSON.stringify({ ...(JSON.parse(text) as object), pureAlcohol: { value: 9.61, unit: 'L' } }),
    ),
  );
  const failure = await play(world).catch((error: unknown) => error);
  expect(failure).toBeInstanceOf(FigureOff);
  expect(String(failure)).toMatch(/packed pure alcohol is off: the service says 9610000/);
});

test('a report whose bytes are not those that were hashed is named', async () => {
  const world = await worldOf(tampered(/report\?format=json$/, ({ text }) => `${text} `));
  const failure = await play(world).catch((error: unknown) => error);
  expect(String(failure)).toMatch(/hash of the frozen bytes is off/);
});
