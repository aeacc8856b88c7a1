import { readFileSync } from 'node:fs';
import { DemoError } from './demo/client/demo-error.js';
import { SettingsError, parseSettings } from './platform/config.js';
import { DatabaseError } from './platform/database/connection.js';
import type { RunningServer } from './server.js';
import { startServer } from './server.js';

/** A stop that takes longer than this is ended. */
const LONGEST_STOP_MS = 15_000;

const PARENT_POLL_MS = 200;

const say = (...lines: string[]): void => {
  process.stdout.write(`${lines.join('\n')}\n`);
};

const complain = (...lines: string[]): void => {
  process.stderr.write(`${lines.join('\n')}\n`);
};

/** Errors of HOST and PORT, with the remedy of each. */
const ADDRESS_PROBLEMS: Readonly<Record<string, readonly [problem: string, remedy: string]>> = {
  EADDRINUSE: [
    'another program listens on that port already.',
    'Stop it, or set PORT to a free one; PORT=0 lets the system choose.',
  ],
  EACCES: ['this account may not listen on that port.', 'Set PORT to one above 1023.'],
  EADDRNOTAVAIL: ['this machine has no such address.', 'Set HOST to one of its own, such as 127.0.0.1 or 0.0.0.0.'],
  ENOTFOUND: ['nothing is known of that host.', 'Set HOST to an address of this machine, such as 127.0.0.1.'],
};

/** The lines that tell the person at the terminal why the start failed. */
function explain(error: unknown): string[] {
  if (error instanceof SettingsError) {
    return [
      'Gaugebook did not start. These settings are wrong:',
      ...error.message.split('\n').map((line) => `  ${line}`),
    ];
  }
  if (error instanceof DatabaseError) {
    return ['Gaugebook did not start: the database is not as it should be.', `  ${error.message}`];
  }
  if (error instanceof DemoError) {
    return [
      'Gaugebook did not start: its invented producer could not be made.',
      `  ${error.message}`,
      '  The next start goes on where this one broke off.',
    ];
  }
  const atAddress = ADDRESS_PROBLEMS[(error as NodeJS.ErrnoException).code ?? ''];
  if (atAddress !== undefined) {
    return [`Gaugebook did not start: ${atAddress[0]}`, `  ${atAddress[1]}`];
  }
  return ['Gaugebook did not start.', error instanceof Error ? (error.stack ?? error.message) : String(error)];
}

/** Stops in order at the first signal, at once at the second, and in order when the `npm start` that began it has ended. */
function stopWhenAsked(server: RunningServer): void {
  let isStopping = false;
  const stop = (why: string): void => {
    isStopping = true;
    say(`Stopping (${why}); once more to stop at once.`);
    setTimeout(() => process.exit(1), LONGEST_STOP_MS).unref();
    server.stop().then(
      () => process.exit(0),
      (error: unknown) => {
        complain('The stop was not clean.', String(error));
        process.exit(1);
      },
    );
  };
  const onSignal = (signal: NodeJS.Signals): void => (isStopping ? process.exit(1) : stop(signal));
  process.on('SIGTERM', onSignal);
  process.on('SIGINT', onSignal);
  const ancestry = npmAncestry();
  if (process.env.npm_lifecycle_event === 'start') {
    setInterval(() => {
      if (npmAncestry() !== ancestry && !isStopping) stop('npm has ended');
    }, PARENT_POLL_MS).unref();
  }
}

/** The process that began this program. npm passes a signal on to the shell between at most, and to no process when it is killed. */
function npmAncestry(): string {
  const parent = String(process.ppid);
  try {
    const [, name, grandparent] = /\((.*)\) \S (\d+)/.exec(readFileSync(`/proc/${parent}/stat`, 'utf8')) ?? [];
    return name === 'sh' ? `${parent} ${grandparent}` : parent;
  } catch {
    return parent;
  }
}

async function main(): Promise<void> {
  const started = performance.now();
  const settings = parseSettings(process.env, process.cwd());
  settings.warnings.forEach((warning) => complain(warning));
  const server = await startServer(settings);
  stopWhenAsked(server);
  const seconds = ((performance.now() - started) / 1000).toFixed(1);
  say(
    `Gaugebook is ready after ${seconds} s: ${server.url}`,
    `  reference  ${server.url}/docs`,
    `  health     ${server.url}/health/ready`,
    ...(settings.database.kind === 'embedded' ? [`  data       ${settings.database.dataDir}`] : []),
  );
  await announce(server);
}

/** The invented producer's key, its reference and a first call: shown once, never kept. */
async function announce({ demo, url }: RunningServer): Promise<void> {
  if (demo === undefined) {
    return;
  }
  say(
    'An invented producer with two months of work was made. Its key is shown this once:',
    '',
    `  ${demo.key}`,
    '',
    `Read on at ${url}/docs, or ask for its periods:`,
    '',
    `  curl -H "Authorization: Bearer ${demo.key}" ${url}/v1/periods`,
    '',
  );
  await demo.announced();
}

// The reader of the output may end earlier than the program.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', () => undefined);
}

main().catch((error: unknown) => {
  complain(...explain(error));
  process.exitCode = 1;
});
