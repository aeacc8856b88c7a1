import { randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readFile, rename, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { AppModule } from '../app.module.js';
import { createApp } from '../bootstrap.js';
import type { DatabaseClient } from '../platform/database/client.js';
import { SteppableClock } from '../platform/clock.js';
import { ProducersService } from '../tenancy/producers/producers.service.js';
import { Refusal } from './client/api.js';
import { Calendar } from './client/calendar.js';
import { DemoError } from './client/demo-error.js';
import { logbook } from './logbook/logbook.js';
import type { Transport } from './client/transport.js';
import { overHttp } from './client/transport.js';
import { World } from './client/world.js';

export const DEMO_TIME_ZONE = 'Europe/London';
const MARKER = 'demo.json';
const NAME = 'Mill Lane Drinks (invented)';
const UNLIMITED = 1_000_000_000;
/** Time between an event and its entry. */
const ENTERED_AFTER_MS = 5 * 60_000;

/** State of the demo producer of a data folder. It holds the key only until the key was printed. */
type Marker =
  | { readonly state: 'making' | 'made'; readonly key: string; readonly runId: string; readonly start: string }
  | { readonly state: 'announced' };

export interface DemoProducer {
  readonly key: string;
  /** To be called once the key was shown: it is then forgotten here. */
  announced(): Promise<void>;
}

export interface SeedOptions {
  readonly client: DatabaseClient;
  readonly dataDir: string;
  /** For tests: what stands between the logbook and the application. */
  readonly through?: (transport: Transport) => Transport;
}

/**
 * Makes the invented producer of a data folder with two months of work, unless it was made and announced before. It is made by the logbook through
 * the application's own routes, in the time of the events. What broke off half-way is gone on with: each write is numbered and replays.
 * @throws DemoError naming the figure that is off or the request that was refused
 */
export async function seedDemoProducer(options: SeedOptions): Promise<DemoProducer | undefined> {
  const file = join(options.dataDir, MARKER);
  const found = await readMarker(file);
  if (found?.state === 'announced') {
    return undefined;
  }
  const key = found?.state === 'made' ? found.key : await make(options, file, found);
  return { key, announced: () => writeMarker(file, { state: 'announced' }) };
}

/** For a data folder that gets its producers from elsewhere: none is invented at its first start. */
export const noDemoProducer = (dataDir: string): Promise<void> =>
  writeMarker(join(dataDir, MARKER), { state: 'announced' });

async function make(options: SeedOptions, file: string, broken: Marker | undefined): Promise<string> {
  const now = new Date();
  const calendar =
    broken?.state === 'making' ? Calendar.from(broken.start, DEMO_TIME_ZONE) : new Calendar(now, DEMO_TIME_ZONE);
  const clock = new SteppableClock(new Date(calendar.at(0, 1, '06:30')));
  const app = await createApp({
    root: AppModule.with({ client: options.client, clock, tenancy: { requestsPerMinute: UNLIMITED } }),
    logLevel: 'silent',
  });
  const begin = async () => {
    const { key } = await app.get(ProducersService).found({ name: NAME, simulated: true });
    const marker = { state: 'making', key, runId: randomUUID(), start: calendar.start } as const;
    await writeMarker(file, marker);
    return marker;
  };
  const play = async ({ key, runId }: { key: string; runId: string }): Promise<void> => {
    const loopback = overHttp(await app.getUrl());
    const transport = options.through?.(loopback) ?? loopback;
    const world = new World({ transport, key, runId, calendar });
    for (const entry of logbook(world, { closeSecond: false }).entries) {
      clock.set(
        new Date(Math.max(clock.now().getTime(), Math.min(Date.parse(entry.at) + ENTERED_AFTER_MS, now.getTime()))),
      );
      await entry.run();
    }
  };
  try {
    await app.listen(0, '127.0.0.1');
    let marker = broken?.state === 'making' ? broken : await begin();
    try {
      await play(marker);
    } catch (error) {
      // Begun by another version of the program, whose logbook was another one.
      if (!(broken !== undefined && error instanceof Refusal)) throw error;
      marker = await begin();
      await play(marker);
    }
    await writeMarker(file, { ...marker, state: 'made' });
    return marker.key;
  } catch (error) {
    throw new DemoError(error instanceof Error ? error.message : String(error), { cause: error });
  } finally {
    await app.close();
  }
}

async function readMarker(file: string): Promise<Marker | undefined> {
  try {
    return existsSync(file) ? (JSON.parse(await readFile(file, 'utf8')) as Marker) : undefined;
  } catch (error) {
    throw new DemoError(`${file} cannot be read: ${String(error)}`, { cause: error });
  }
}

/** A rename, so that a program that is killed meanwhile leaves the old marker or the new one. */
async function writeMarker(file: string, marker: Marker): Promise<void> {
  await writeFile(`${file}.new`, `${JSON.stringify(marker)}\n`, { mode: 0o600 });
  await rename(`${file}.new`, file);
}
