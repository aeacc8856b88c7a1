import { randomBytes, randomUUID } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { AppModule } from '../../src/app.module.js';
import { createApp } from '../../src/bootstrap.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { ProducersService } from '../../src/tenancy/producers/producers.service.js';
import type { Operation } from '../../src/ledger/operations/operations.dto.js';
import { createPrismaClient } from '../../src/platform/database/client.js';
import { openDatabase } from '../../src/platform/database/open.js';
import type { Lot } from '../../src/production/lots/lots.dto.js';
import { Api } from '../../src/demo/client/api.js';
import { openOwnService } from './own-service.js';
import type { Closed } from './month-check.js';
import { simulate, TWO_YEARS } from './simulate.js';

const USAGE = `Makes an invented producer of two years over HTTP, in the time of the events, and fails when a figure is off.

  npm run demo:two-years                        on a service of its own, whose clock it moves, gone afterwards
  npm run demo:two-years -- --seed 7            other dice, other years
  npm run demo:two-years -- --months 2          only the first months`;

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

const litres = (value: number, width: number): string => value.toFixed(3).padStart(width);

/** A month on a line: what it opened with, what came in, went out and was adjusted, what it closed with. */
function lineOf({ premises, report, hash }: Closed): string {
  const { opening, closing, turnover, duty, period } = report;
  const sums = [opening, turnover.in, turnover.out, turnover.adjusted, closing];
  const alcohol = sums.map(({ litresOfPureAlcohol: { value } }) => litres(value, 11));
  const money = duty.money.map(({ amount, currency }) => `${amount} ${currency}`).join(', ');
  return `${period.startsOn.slice(0, 7)}  ${premises.padEnd(6)}${alcohol.join('')}  ${money.padStart(12)}  ${hash.slice(0, 12)}`;
}

const wholeOf = (name: string, text: string): number => {
  if (!/^\d{1,9}$/.test(text)) throw new Error(`--${name} has to be a whole number.`);
  return Number(text);
};

async function counted(api: Api): Promise<{ lots: number; operations: number; postings: number }> {
  const operations = await api.all<Operation>('/v1/operations');
  const lots = await api.all<Lot>('/v1/lots');
  const postings = operations.reduce((sum, operation) => sum + operation.postings.length, 0);
  return { lots: lots.length, operations: operations.length, postings };
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      seed: { type: 'string', default: String(TWO_YEARS.seed) },
      months: { type: 'string', default: String(TWO_YEARS.months) },
      help: { type: 'boolean', default: false },
    },
  });
  if (values.help) {
    say(USAGE);
    return;
  }
  const dataDir = join(tmpdir(), `gaugebook-two-years-${randomBytes(6).toString('hex')}`);
  const database = await openDatabase({ database: { kind: 'embedded', dataDir } });
  const client = createPrismaClient({ url: database.appUrl, poolSize: 4 });
  let closing: Promise<void> | undefined;
  const close = async (): Promise<void> => {
    await client.$disconnect();
    await database.close();
    await rm(dataDir, { recursive: true, force: true });
  };
  const closeAll = (): Promise<void> => (closing ??= close());
  process.once('SIGINT', () => void closeAll().finally(() => process.exit(130)));
  process.once('SIGTERM', () => void closeAll().finally(() => process.exit(143)));
  try {
    const started = performance.now();
    const service = await openOwnService({ createApp, AppModule, SteppableClock, ProducersService }, client);
    try {
      say(
        'Litres of pure alcohol: opening, in, out, adjusted, closing; indicated duty in no currency that there is; report',
      );
      const { key, clock, transport } = await service.begin();
      const { closed, figuresCompared, writes, landmarks } = await simulate({
        transport,
        key,
        clock,
        runId: randomUUID(),
        seed: wholeOf('seed', values.seed),
        months: wholeOf('months', values.months),
        onClosed: (month) => say(lineOf(month)),
      });
      const seconds = ((performance.now() - started) / 1000).toFixed(1);
      const { lots, operations, postings } = await counted(new Api(transport, key, 'counting'));
      say(`${lots} lots, ${operations} operations, ${postings} postings by ${writes} writes.`);
      say(
        `${closed.length} months closed at two premises; ${figuresCompared} figures compared, all as they should be.`,
      );
      say(`The fullest month begins on ${closed[landmarks.fullest?.month ?? 0].report.period.startsOn}. ${seconds} s.`);
    } finally {
      await service.close();
    }
  } finally {
    await closeAll();
  }
}

main().catch((error: unknown) => {
  process.stderr.write(`The two years failed. ${error instanceof Error ? error.message : String(error)}\n`);
  process.exitCode = 1;
});
