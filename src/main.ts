import { SettingsError, parseSettings } from './platform/config.js';
import { DatabaseError } from './platform/database/connection.js';
import type { RunningServer } from './server.js';
import { startServer } from './server.js';

/** A stop that takes longer than this is ended. */
const LONGEST_STOP_MS = 15_000;

const say = (...lines: string[]): void => {
  process.stdout.write(`${lines.join('\n')}\n`);
};

const complain = (...lines: string[]): void => {
  process.stderr.write(`${lines.join('\n')}\n`);
};

/** What went wrong at the start, for the person at the terminal. */
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
  if ((error as NodeJS.ErrnoException).code === 'EADDRINUSE') {
    return ['Gaugebook did not start: something else listens there already.', '  Set PORT to a free port.'];
  }
  return ['Gaugebook did not start.', error instanceof Error ? (error.stack ?? error.message) : String(error)];
}

function stopOnSignal(server: RunningServer): void {
  let isStopping = false;
  const stop = (signal: NodeJS.Signals): void => {
    if (isStopping) {
      process.exit(1);
    }
    isStopping = true;
    say(`Stopping (${signal}); once more to stop at once.`);
    setTimeout(() => process.exit(1), LONGEST_STOP_MS).unref();
    server.stop().then(
      () => process.exit(0),
      (error: unknown) => {
        complain('The stop was not clean.', String(error));
        process.exit(1);
      },
    );
  };
  process.on('SIGTERM', stop);
  process.on('SIGINT', stop);
}

async function main(): Promise<void> {
  const started = performance.now();
  const settings = parseSettings(process.env, process.cwd());
  settings.warnings.forEach((warning) => complain(warning));
  const server = await startServer(settings);
  stopOnSignal(server);
  const seconds = ((performance.now() - started) / 1000).toFixed(1);
  say(
    `Gaugebook is ready after ${seconds} s: ${server.url}`,
    `  reference  ${server.url}/docs`,
    `  health     ${server.url}/health/ready`,
    ...(settings.database.kind === 'embedded' ? [`  data       ${settings.database.dataDir}`] : []),
  );
}

main().catch((error: unknown) => {
  complain(...explain(error));
  process.exitCode = 1;
});
