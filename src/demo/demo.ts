import { randomBytes, randomUUID } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { Listr } from 'listr2';
import type { RunningServer } from '../server.js';
import { startServer } from '../server.js';
import { Calendar } from './client/calendar.js';
import { logbook } from './logbook/logbook.js';
import { writeOutcome } from './outcome.js';
import { lineOf, weeksOf } from './play.js';
import { DEMO_TIME_ZONE } from './seed.js';
import { overHttp } from './client/transport.js';
import { World } from './client/world.js';

const USAGE = `Drives two invented months over HTTP, from the plan to the closed reports, and fails when a figure is off.

  npm run demo                                                   on a server of its own, which is gone afterwards
  npm run demo -- --url http://127.0.0.1:3000 --operator-key …   on a running server, as a new producer
  npm run demo -- --url http://127.0.0.1:3000 --key …            on a running server, as that producer, at premises of their own

  --out FOLDER   where report.json, report.csv, trail.json and summary.txt are left; ./demo-output if it is left out`;

interface Place {
  readonly url: string;
  readonly key: string;
  /** Ends what was started for the demo. */
  leave(): Promise<void>;
}

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

async function ownServer(): Promise<{ server: RunningServer; operatorKey: string; leave: () => Promise<void> }> {
  const dataDir = join(tmpdir(), `gaugebook-demo-${randomBytes(6).toString('hex')}`);
  const operatorKey = randomBytes(24).toString('base64url');
  const server = await startServer(
    {
      host: '127.0.0.1',
      port: 0,
      database: { kind: 'embedded', dataDir },
      poolSize: 4,
      operatorKey,
      logLevel: 'silent',
      warnings: [],
    },
    { demoProducer: false },
  );
  let leaving: Promise<void> | undefined;
  const leave = (): Promise<void> => {
    leaving ??= server.stop().then(() => rm(dataDir, { recursive: true, force: true }));
    return leaving;
  };
  return { server, operatorKey, leave };
}

async function newProducer(url: string, operatorKey: string): Promise<string> {
  const answer = await overHttp(url)({
    method: 'POST',
    path: '/v1/producers',
    headers: { authorization: `Bearer ${operatorKey}`, 'content-type': 'application/json' },
    body: JSON.stringify({ name: 'Mill Lane Drinks (invented)' }),
  });
  if (answer.status !== 201) {
    throw new Error(`No producer could be made at ${url}: ${answer.status} ${answer.text}`);
  }
  return (JSON.parse(answer.text) as { key: string }).key;
}

async function placeOf(values: { url?: string; key?: string; 'operator-key'?: string }): Promise<Place> {
  const { url, key, 'operator-key': operatorKey } = values;
  if (url === undefined) {
    if (key !== undefined || operatorKey !== undefined) {
      throw new Error('A key needs the --url of the server that it is for.');
    }
    const own = await ownServer();
    process.once('SIGINT', () => void own.leave().finally(() => process.exit(130)));
    process.once('SIGTERM', () => void own.leave().finally(() => process.exit(143)));
    const producerKey = await newProducer(own.server.url, own.operatorKey);
    return { url: own.server.url, key: producerKey, leave: own.leave };
  }
  const leave = () => Promise.resolve();
  if (key !== undefined) return { url, key, leave };
  if (operatorKey !== undefined) return { url, key: await newProducer(url, operatorKey), leave };
  throw new Error('Give --key or --operator-key with --url.');
}

/** On a terminal week by week, elsewhere line by line. Answers with the lines. */
async function play(world: World, entries: ReturnType<typeof logbook>['entries']): Promise<string[]> {
  const lines: string[] = [];
  const { calendar } = world;
  if (process.stdout.isTTY !== true) {
    for (const entry of entries) {
      lines.push(lineOf(calendar, entry, await entry.run()));
      say(lines.at(-1) ?? '');
    }
    return lines;
  }
  const weeks = weeksOf(calendar, entries).map(({ title, entries: own }) => ({
    title,
    task: () =>
      new Listr(
        own.map((entry) => ({
          title: lineOf(calendar, entry, ''),
          task: async (_: unknown, task: { title: string }) => {
            const line = lineOf(calendar, entry, await entry.run());
            lines.push(line);
            task.title = line;
          },
        })),
      ),
  }));
  await new Listr(weeks).run();
  return lines;
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      url: { type: 'string' },
      key: { type: 'string' },
      'operator-key': { type: 'string' },
      out: { type: 'string', default: 'demo-output' },
      help: { type: 'boolean', default: false },
    },
  });
  if (values.help) {
    say(USAGE);
    return;
  }
  const started = performance.now();
  const place = await placeOf(values);
  try {
    say(`Two invented months at ${place.url}`);
    const calendar = new Calendar(new Date(), DEMO_TIME_ZONE);
    const world = new World({ transport: overHttp(place.url), key: place.key, runId: randomUUID(), calendar });
    const { entries, closed } = logbook(world, { closeSecond: true });
    const lines = await play(world, entries);
    const folder = await writeOutcome(world, closed, lines, values.out);
    const seconds = ((performance.now() - started) / 1000).toFixed(1);
    say(`${world.checks.count} figures compared, all as they should be. Two reports closed in ${seconds} s.`);
    say(`Left in ${folder}: report.json, report.csv, trail.json, summary.txt`);
  } finally {
    await place.leave();
  }
}

main().catch((error: unknown) => {
  process.stderr.write(`The demo failed. ${error instanceof Error ? error.message : String(error)}\n`);
  process.exitCode = 1;
});
