import { AppModule } from '../../app.module.js';
import { createApp } from '../../bootstrap.js';
import type { PrismaClient } from '../../generated/prisma/client.js';
import { SteppableClock } from '../../platform/clock.js';
import { ProducersService } from '../../tenancy/producers/producers.service.js';
import type { Transport } from '../transport.js';
import { overHttp } from '../transport.js';

const UNLIMITED = 1_000_000_000;
const NAME = 'Mill Lane Drinks (invented)';
/** Before anything of the two years. */
const DAWN = new Date('2023-12-31T12:00:00Z');

export interface OwnService {
  /** Founds the producer, flagged as made by a simulation. */
  begin(): Promise<{ key: string; producerId: string; clock: SteppableClock; transport: Transport }>;
  close(): Promise<void>;
}

/** The whole service in this process, in a time of its own, on a port of this machine. */
export async function openOwnService(client: PrismaClient): Promise<OwnService> {
  const clock = new SteppableClock(DAWN);
  const app = await createApp({
    root: AppModule.with({ client, clock, tenancy: { requestsPerMinute: UNLIMITED } }),
    logLevel: 'silent',
  });
  await app.listen(0, '127.0.0.1');
  const transport = overHttp(await app.getUrl());
  return {
    begin: async () => {
      const { key, producer } = await app.get(ProducersService).found({ name: NAME, simulated: true });
      return { key, producerId: producer.id, clock, transport };
    },
    close: () => app.close(),
  };
}
