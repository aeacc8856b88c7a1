import { AppModule } from '../../app.module.js';
import { createApp } from '../../bootstrap.js';
import type { PrismaClient } from '../../generated/prisma/client.js';
import { SteppableClock } from '../../platform/clock.js';
import { ProducersService } from '../../tenancy/producers/producers.service.js';
import type { Transport } from '../transport.js';

const UNLIMITED = 1_000_000_000;
const NAME = 'Mill Lane Drinks (invented)';
/** Before anything of the two years. */
const DAWN = new Date('2023-12-31T12:00:00Z');

export interface OwnService {
  /** Founds the producer, flagged as made by a simulation. */
  begin(): Promise<{ key: string; producerId: string; setClock: (instant: Date) => void; transport: Transport }>;
  close(): Promise<void>;
}

/** The whole service in this process, in a time of its own; requests go in without a network. */
export async function openOwnService(client: PrismaClient): Promise<OwnService> {
  const clock = new SteppableClock(DAWN);
  const app = await createApp({
    root: AppModule.with({ client, clock, tenancy: { requestsPerMinute: UNLIMITED } }),
    logLevel: 'silent',
  });
  const transport: Transport = async ({ method, path, headers, body }) => {
    const answer = await app.inject({ method, url: path, headers, payload: body });
    return { status: answer.statusCode, text: answer.payload };
  };
  return {
    begin: async () => {
      const { key, producer } = await app.get(ProducersService).found({ name: NAME, simulated: true });
      return { key, producerId: producer.id, setClock: (instant) => clock.set(instant), transport };
    },
    close: () => app.close(),
  };
}
