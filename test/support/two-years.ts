import { createHash, randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, readFile, readdir, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Landmarks } from '../two-years/landmarks.js';
import { openOwnService } from '../two-years/own-service.js';
import { simulate } from '../two-years/simulate.js';
import { SteppableClock } from '../../src/platform/clock.js';
import type { TestDatabase } from './database.js';
import { cloneTestDatabase, createTestDatabase, keepAsTemplate, templateComment } from './database.js';
import type { Program } from './program.js';
import { loadProgram } from './program.js';
import { TestService } from './service.js';

const ROOT = join(import.meta.dirname, '..', '..');
const CACHE = join(ROOT, 'node_modules', '.cache', 'gaugebook-two-years');

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

/** One worker makes them, the others wait; what is known of them stands in the comment of the template, which goes with the run. */
async function builtOnce(): Promise<{ template: string; kept: Kept }> {
  const program = await loadProgram();
  const template = `${String(process.env.TEST_DATABASE_TEMPLATE)}_two_years`;
  return program.withConnection(String(process.env.TEST_DATABASE_ADMIN_URL), async (admin) => {
    await admin.query('SELECT pg_advisory_lock(hashtext($1))', [template]);
    const comment = (await templateComment(template)) ?? (await build(program, template));
    return { template, kept: JSON.parse(comment) as Kept };
  });
}

async function build(program: Program, template: string): Promise<string> {
  const database = await createTestDatabase();
  const backup = join(CACHE, `${await contentHash()}.backup`);
  const comment = (await restored(program, database, backup)) ?? (await made(program, database, backup));
  await keepAsTemplate(database, template, comment);
  return comment;
}

/** Two years that the same files made in an earlier run. */
async function restored(program: Program, database: TestDatabase, backup: string): Promise<string | undefined> {
  if (!existsSync(backup) || !existsSync(`${backup}.json`)) return undefined;
  await program.withConnection(database.superuserUrl, (client) => program.restoreBackup(client, backup));
  return readFile(`${backup}.json`, 'utf8');
}

async function made(program: Program, database: TestDatabase, backup: string): Promise<string> {
  const comment = JSON.stringify(await simulateIn(program, database));
  await rm(CACHE, { recursive: true, force: true });
  await mkdir(CACHE, { recursive: true });
  await program.withConnection(database.superuserUrl, (client) => program.writeBackup(client, backup, new Date()));
  await writeFile(`${backup}.json`, comment);
  return comment;
}

async function simulateIn(program: Program, { appUrl }: TestDatabase): Promise<Kept> {
  const client = program.createPrismaClient({ url: appUrl, poolSize: 4 });
  const own = await openOwnService(program, client);
  try {
    const { key, producerId, clock, transport } = await own.begin();
    const { landmarks } = await simulate({ transport, key, clock, runId: randomUUID() });
    return { key, producerId, landmarks, now: clock.now().toISOString() };
  } finally {
    await own.close();
    await client.$disconnect();
  }
}

/** Of all files that the two years follow from. */
async function contentHash(): Promise<string> {
  const hash = createHash('sha256');
  for (const folder of ['src', 'prisma', 'test/two-years']) {
    const names = await readdir(join(ROOT, folder), { recursive: true });
    for (const name of names.filter((each) => /\.(ts|sql|prisma)$/.test(each)).sort()) {
      hash.update(`${folder}/${name}\n`).update(await readFile(join(ROOT, folder, name)));
    }
  }
  return hash.digest('hex').slice(0, 24);
}
