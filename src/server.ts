import { createServer } from 'node:net';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { AppModule } from './app.module.js';
import { createApp } from './bootstrap.js';
import type { DemoProducer } from './demo/seed.js';
import { seedDemoProducer } from './demo/seed.js';
import type { PrismaClient } from './generated/prisma/client.js';
import type { Settings } from './platform/config.js';
import { checkSession, createPrismaClient } from './platform/database/client.js';
import { openDatabase } from './platform/database/open.js';
import { Readiness } from './platform/health/readiness.js';

/** Requests of one key in a minute, before it is told to wait. */
const REQUESTS_PER_MINUTE = 1_200;

/** How long the service says that it is not ready before it stops listening, so that whoever sends requests here can look elsewhere. */
const DRAIN_MS = 500;

export interface RunningServer {
  readonly app: NestFastifyApplication;
  readonly client: PrismaClient;
  /** Where it answers. */
  readonly url: string;
  /** The invented producer of an embedded database, until its key was shown. */
  readonly demo: DemoProducer | undefined;
  /** Lets what has begun finish, then closes everything in the order in which it leans on each other. */
  stop(): Promise<void>;
}

type Closer = () => Promise<unknown>;

async function closeAll(closers: readonly Closer[]): Promise<void> {
  for (const close of closers.toReversed()) {
    await close();
  }
}

const urlHost = (host: string): string => (host.includes(':') ? `[${host}]` : host);

/** The address that a person can open: the wildcard addresses mean every interface, this machine among them. */
function openableUrl(host: string, port: number): string {
  return `http://${host === '0.0.0.0' || host === '::' ? 'localhost' : urlHost(host)}:${port}`;
}

/** Rejects at once, before anything is made, when nobody could listen there in the end. */
function requireFreePort(port: number, host: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', reject);
    probe.listen(port, host, () => probe.close(() => resolve()));
  });
}

/** Opens the database, sets the application up, and listens; whatever fails on the way closes what was opened before. */
export async function startServer(
  settings: Settings,
  { demoProducer = true }: { readonly demoProducer?: boolean } = {},
): Promise<RunningServer> {
  const closers: Closer[] = [];
  try {
    await requireFreePort(settings.port, settings.host);
    const database = await openDatabase(settings);
    closers.push(() => database.close());
    const client = createPrismaClient({ url: database.appUrl, poolSize: settings.poolSize });
    closers.push(() => client.$disconnect());
    await checkSession(client);
    const { database: kept } = settings;
    const demo =
      kept.kind === 'embedded' && demoProducer ? await seedDemoProducer({ client, dataDir: kept.dataDir }) : undefined;
    const app = await createApp({
      root: AppModule.with({
        client,
        tenancy: { operatorKey: settings.operatorKey, requestsPerMinute: REQUESTS_PER_MINUTE },
      }),
      logLevel: settings.logLevel,
    });
    closers.push(() => app.close());
    const readiness = app.get(Readiness);
    readiness.register('database', async () => {
      await client.$queryRaw`SELECT 1`;
    });
    await app.listen(settings.port, settings.host);
    const address = app.getHttpServer().address();
    const port = typeof address === 'object' && address !== null ? address.port : settings.port;
    return {
      app,
      client,
      url: openableUrl(settings.host, port),
      demo,
      stop: async () => {
        readiness.drain();
        await new Promise((resolve) => {
          setTimeout(resolve, DRAIN_MS);
        });
        await closeAll(closers);
      },
    };
  } catch (error) {
    await closeAll(closers);
    throw error;
  }
}
