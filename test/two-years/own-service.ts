import type { AppModule } from '../../src/app.module.js';
import type { createApp } from '../../src/bootstrap.js';
import type { Transport } from '../../src/demo/client/transport.js';
import { overHttp } from '../../src/demo/client/transport.js';
import type { DatabaseClient } from '../../src/platform/database/client.js';
import type { SteppableClock } from '../../src/platform/clock.js';
import type { ProducersService } from '../../src/tenancy/producers/producers.service.js';

const UNLIMITED = 1_000_000_000;
const NAME = 'Mill Lane Drinks (invented)';
/** Before anything of the two years. */
const DAWN = new Date('2023-12-31T12:00:00Z');

/** The program's modules; tests hand in those that the worker has loaded. */
export interface ProgramModules {
  readonly createApp: typeof createApp;
  readonly AppModule: typeof AppModule;
  readonly SteppableClock: typeof SteppableClock;
  readonly ProducersService: typeof ProducersService;
}

export interface OwnService {
  /** Founds the producer, flagged as made by a simulation. */
  begin(): Promise<{ key: string; producerId: string; clock: SteppableClock; transport: Transport }>;
  close(): Promise<void>;
}

/** The whole service in this process, in a time of its own, on a port of this machine. */
export async function openOwnService(program: ProgramModules, client: DatabaseClient): Promise<OwnService> {
  const clock = new program.SteppableClock(DAWN);
  const app = await program.createApp({
    root: program.AppModule.with({ client, clock, tenancy: { requestsPerMinute: UNLIMITED } }),
    logLevel: 'silent',
  });
  await app.listen(0, '127.0.0.1');
  const transport = overHttp(await app.getUrl());
  return {
    begin: async () => {
      const { key, producer } = await app.get(program.ProducersService).found({ name: NAME, simulated: true });
      return { key, producerId: producer.id, clock, transport };
    },
    close: () => app.close(),
  };
}
