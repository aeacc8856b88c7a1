import { randomUUID } from 'node:crypto';
import type { Landmarks } from '../../src/demo/two-years/landmarks.js';
import { openOwnService } from '../../src/demo/two-years/own-service.js';
import { simulate } from '../../src/demo/two-years/simulate.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { createPrismaClient } from '../../src/platform/database/client.js';
import { withConnection } from '../../src/platform/database/connection.js';
import type { TestDatabase } from './database.js';
import { cloneTestDatabase, createTestDatabase, keepAsTemplate, templateComment } from './database.js';
import { TestService } from './service.js';

/** What a clone of the two years comes with. */
export interface TwoYears {
  readonly service: TestService;
  /** Of the owner. */
  readonly key: string;
  readonly producerId: string;
  readonly landmarks: Landmarks;
  /** Stands at the end of the two years; tests move it on. */
  readonly clock: SteppableClock;
}

type Kept = Pick<TwoYears, 'key' | 'producerId' | 'landmarks'> & { readonly now: string };

/** The whole service over a clone of the two-year producer, which the first test file that asks for it in a run makes. */
export async function startTwoYears(): Promise<TwoYears> {
  const { template, kept } = await builtOnce();
  const clock = new SteppableClock(new Date(kept.now));
  const service = await TestService.start({ clock, database: await cloneTestDatabase(template) });
  const { key, producerId, landmarks } = kept;
  return { service, key, producerId, landmarks, clock };
}

/** One worker builds, the others wait; what is known of it stands in the comment of the template, which goes with the run. */
function builtOnce(): Promise<{ template: string; kept: Kept }> {
  const template = `${String(process.env.TEST_DATABASE_TEMPLATE)}_two_years`;
  return withConnection(String(process.env.TEST_DATABASE_ADMIN_URL), async (admin) => {
    await admin.query('SELECT pg_advisory_lock(hashtext($1))', [template]);
    const comment = (await templateComment(template)) ?? (await build(template));
    return { template, kept: JSON.parse(comment) as Kept };
  });
}

async function build(template: string): Promise<string> {
  const database = await createTestDatabase();
  const made = await simulateIn(database);
  const comment = JSON.stringify(made);
  await keepAsTemplate(database, template, comment);
  return comment;
}

async function simulateIn({ appUrl }: TestDatabase): Promise<Kept> {
  const client = createPrismaClient({ url: appUrl, poolSize: 4 });
  const own = await openOwnService(client);
  try {
    const { key, producerId, clock, transport } = await own.begin();
    const { landmarks } = await simulate({ transport, key, clock, runId: randomUUID() });
    return { key, producerId, landmarks, now: clock.now().toISOString() };
  } finally {
    await own.close();
    await client.$disconnect();
  }
}
