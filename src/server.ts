import { createServer } from 'node:net';
import { setTimeout as delay } from 'node:timers/promises';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import type { DemoProducer } from './demo/seed.js';
import type { DatabaseClient } from './platform/database/client.js';
import type { Settings } from './platform/config.js';
import { openDatabase } from './platform/database/open.js';

/** Requests of one key in a minute; more are refused with 429. */
const REQUESTS_PER_MINUTE = 1_200;

/** Time for which the service reports that it is not ready before it stops listening, so that a load balancer can send requests elsewhere. */
const DRAIN_MS = 500;

const PORT_WAIT_MS = 3_000;
const PORT_POLL_MS = 50;

export interface RunningServer {
  readonly app: NestFastifyApplication;
  readonly client: DatabaseClient;
  /** The address at which it answers. */
  readonly url: string;
  /** The invented producer of an embedded database, until its key was shown. */
  readonly demo: DemoProducer | undefined;
  /** Lets running requests finish, then closes everything, the last one opened first. */
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

/** Rejects before anything is made if the port is not free. Waits for a moment, since an earlier process may be stopping. */
async function requireFreePort(port: number, host: string): Promise<void> {
  for (const end = Date.now() + PORT_WAIT_MS; ; await delay(PORT_POLL_MS)) {
    try {
      return await listenBriefly(port, host);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EADDRINUSE' || Date.now() >= end) throw error;
    }
  }
}

function listenBriefly(port: number, host: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', reject);
    probe.listen(port, host, () => probe.close(() => resolve()));
  });
}

/** The application's own modules: reading them takes as long as the database takes to start, so the two go on together. */
async function loadParts() {
  const [{ AppModule }, { createApp }, { seedDemoProducer }, { Readiness }, { checkSession, createPrismaClient }] =
    await Promise.all([
      import('./app.module.js'),
      import('./bootstrap.js'),
      import('./demo/seed.js'),
      import('./platform/health/readiness.js'),
      import('./platform/database/client.js'),
    ]);
  return { AppModule, createApp, seedDemoProducer, Readiness, checkSession, createPrismaClient };
}

/** Opens the database, sets the application up, and listens; whatever fails on the way closes what was opened before. */
export async function startServer(
  settings: Settings,
  { demoProducer = true }: { readonly demoProducer?: boolean } = {},
): Promise<RunningServer> {
  const closers: Closer[] = [];
  try {
    await requireFreePort(settings.port, settings.host);
    const loading = loadParts();
    const database = await openDatabase(settings);
    closers.push(() => database.close());
    const { AppModule, createApp, seedDemoProducer, Readiness, checkSession, createPrismaClient } = await loading;
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
        await delay(DRAIN_MS);
        await closeAll(closers);
      },
    };
  } catch (error) {
    await closeAll(closers);
    throw error;
  }
}
