import { randomInt } from 'node:crypto';
import { Pool } from 'pg';
import { SteppableClock } from '../../src/platform/clock.js';
import { changeSettings } from '../excise/chargeable-world.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { requireEqual, requirePlain, requireRoads, requireSound } from './checks.js';
import { requireContainers } from './container-checks.js';
import { DIFFERENCES } from './difference-steps.js';
import { Driver, hangUp, PERIODS, timeOf } from './driver.js';
import { Model } from './model.js';
import { placeQuery } from './sample-requests.js';
import { SAMPLE_LITRES } from './samples.js';
import type { Step } from './step.js';
import { chances } from './dice.js';
import { nextStep, usedUp } from './steps.js';
import { NOW } from './words.js';

// Random sequences of operations against the plain model, alone and several clients at once. More of them: npm run soak.
// The automatic check runs the same 200 each time, so that its result follows from the change; everybody else tries new ones.
const AUTOMATIC = process.env.CI === 'true';
const SEQUENCES = Number(process.env.SEQUENCES ?? (AUTOMATIC ? 150 : 60));
const CONCURRENT = Number(process.env.CONCURRENT_SEQUENCES ?? (AUTOMATIC ? 50 : 20));
const FIRST_SEED = Number(process.env.SEED ?? (AUTOMATIC ? 1 : randomInt(1, 1_000_000)));
const STEPS = Number(process.env.STEPS ?? 14);
const CLIENTS = 3;
/** Sequences under way at once, each with a producer of its own: producers do not wait for each other. */
const LANES = 3;
const POOL = 5;
const MOST_FAILURES = 10;

let service: TestService;
let database: Pool;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date(timeOf(NOW))), poolSize: POOL, processes: 2 });
  await service.listen();
  database = new Pool({ connectionString: service.database.superuserUrl, max: LANES });
});
afterAll(async () => {
  hangUp();
  await database.end();
  await service.stop();
});

interface World {
  readonly floor: Floor;
  readonly driver: Driver;
}

async function world(): Promise<World> {
  const floor = await Floor.open(service, [], 'UTC');
  const driver = new Driver(floor);
  for (const [index, [startsOn, endsBefore]] of PERIODS.entries()) {
    const period = await floor.post('/v1/periods', { premisesId: floor.premisesId, startsOn, endsBefore });
    driver.name(`period/here/${index + 1}`, period.id);
  }
  await changeSettings(floor, { sampleVolume: { value: Number(SAMPLE_LITRES), unit: 'L' } });
  return { floor, driver };
}

/** How often each step had each outcome; printed at the end, because a step that never goes through proves nothing. */
class Tally {
  readonly #counts = new Map<string, number>();
  steps = 0;

  add(step: Step, outcome: string): void {
    const what = `${step.kind}${'serials' in step ? ' by serial' : ''} ${outcome}`;
    this.steps += 1;
    this.#counts.set(what, (this.#counts.get(what) ?? 0) + 1);
  }

  print(sequences: number, kind: string, startedMs: number): void {
    const seconds = ((Date.now() - startedMs) / 1000).toFixed(1);
    const counts = [...this.#counts].sort().map(([what, count]) => `${what}: ${count}`);
    console.info(
      `[sequences] ${sequences} ${kind} from seed ${FIRST_SEED}: ${this.steps} steps, ${seconds} s; ${counts.join(', ')}`,
    );
  }
}

/** One that fails does not keep the others from being tried. */
async function inLanes(count: number, run: (seed: number) => Promise<void>): Promise<void> {
  let next = FIRST_SEED;
  const failures: unknown[] = [];
  const lane = async (): Promise<void> => {
    while (next < FIRST_SEED + count && failures.length < MOST_FAILURES) {
      next += 1;
      await run(next - 1).catch((error: unknown) => failures.push(error));
    }
  };
  await Promise.all(Array.from({ length: LANES }, lane));
  if (failures.length > 0) throw failures[0];
}

/** Every so many sequences the report of each period is made as well. */
const REPORTED = 4;

async function requireHolds({ floor, driver }: World, model: Model, seed: number): Promise<void> {
  await requireEqual(database, floor.producerId, driver, model);
  await requireSound(database, floor.producerId);
  await requireContainers(floor, driver, model);
  await requirePlain(floor, driver, model);
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
  if (seed % REPORTED === 0) await requireRoads(floor, driver);
}

/** Says which seed failed and by which steps it came there, so that it can be run again alone. */
async function telling(seed: number, steps: readonly unknown[], work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    console.error(
      `[sequences] seed ${seed}: ${String(error)}\n${steps.map((step) => JSON.stringify(step)).join('\n')}`,
    );
    throw error;
  }
}

async function alone(seed: number, tally: Tally): Promise<void> {
  const here = await world();
  const [model, chance] = [new Model(), chances(seed)];
  const taken: unknown[] = [];
  await telling(seed, taken, async () => {
    for (let index = 0; index < STEPS; index += 1) {
      const step = nextStep(model, chance, index * 58, new Set());
      const name = `${seed}-${index}`;
      taken.push({ name, ...step });
      const expected = model.take(step, name);
      const outcome = await here.driver.take(step, name);
      expect({ seed, index, step, outcome }).toEqual({ seed, index, step, outcome: expected });
      tally.add(step, outcome);
    }
    await requireHolds(here, model, seed);
  });
}

test(`${SEQUENCES} sequences of one client give what the model gives, refusals included`, async () => {
  const [tally, startedMs] = [new Tally(), Date.now()];
  try {
    await inLanes(SEQUENCES, (seed) => alone(seed, tally));
  } finally {
    tally.print(SEQUENCES, 'of one client', startedMs);
  }
}, 7_200_000);

interface Attempt {
  readonly step: Step;
  readonly name: string;
  readonly outcome: string;
  /** Entries of the trail when it was sent, and when it was answered. */
  readonly before: bigint;
  readonly after: bigint;
}

/** Compositions that a step finds or crops, and those in process that it may use up. */
function touchedBy(step: Step, model: Model): string[] {
  if (step.kind === 'find') return [step.composition];
  if (step.kind === 'differ') return [DIFFERENCES];
  const places = step as { vessel?: string; from?: string; to?: string; components?: readonly { vessel: string }[] };
  const vessels = [places.vessel, places.from, places.to, ...(places.components ?? []).map(({ vessel }) => vessel)];
  const held = vessels.flatMap((vessel) => model.inVessel(vessel ?? '') ?? []);
  const used = held.filter((each) => !model.isFinished(each)).map(usedUp);
  return step.kind === 'crop' ? [...held, ...used] : used;
}

async function trailHead(floor: Floor): Promise<bigint> {
  const { rows } = await database.query<{ head: string }>(
    'SELECT trail_sequence::text AS head FROM producer_head WHERE producer_id = $1',
    [floor.producerId],
  );
  return BigInt(rows[0].head);
}

async function together(seed: number, tally: Tally): Promise<void> {
  const here = await world();
  const [model, chance] = [new Model(), chances(seed + 1_000_000)];
  const taken: unknown[] = [];
  await telling(seed, taken, async () => {
    for (let round = 0; round < STEPS / CLIENTS; round += 1) {
      const besides = new Set<string>();
      const steps: { step: Step; name: string }[] = [];
      for (let client = 0; client < CLIENTS; client += 1) {
        const step = nextStep(model, chance, round * 170 + client, besides);
        for (const each of touchedBy(step, model)) besides.add(each);
        steps.push({ step, name: `${seed}-${round}-${client}` });
      }
      const attempts = await Promise.all(
        steps.map(async ({ step, name }): Promise<Attempt> => {
          const before = await trailHead(here.floor);
          const outcome = await here.driver.take(step, name);
          return { step, name, outcome, before, after: await trailHead(here.floor) };
        }),
      );
      for (const { step, name, outcome } of attempts) {
        taken.push({ name, outcome, ...step });
        tally.add(step, outcome);
      }
      await replay(model, attempts, here, seed);
    }
    await requireHolds(here, model, seed);
  });
}

test(`${CONCURRENT} sequences of three clients at once replay in the order of the head`, async () => {
  const [tally, startedMs] = [new Tally(), Date.now()];
  try {
    await inLanes(CONCURRENT, (seed) => together(seed, tally));
  } finally {
    tally.print(CONCURRENT, 'of three clients', startedMs);
  }
}, 7_200_000);

/** The place in the trail of what was done. */
async function placeOf({ step, name }: Attempt, driver: Driver): Promise<bigint> {
  if (step.kind === 'close') return BigInt(driver.id(`trail/${name}`));
  const [sql, id] = placeQuery(step, name, driver);
  const { rows } = await database.query<{ place: string }>(sql, [id]);
  return BigInt(rows[0].place);
}

/** Carried out in the order of the trail; a refusal has to be one at some moment between its sending and its answer. */
async function replay(model: Model, attempts: readonly Attempt[], { driver }: World, seed: number): Promise<void> {
  const placed: { attempt: Attempt; place: bigint }[] = [];
  for (const attempt of attempts.filter(({ outcome }) => outcome === 'ok')) {
    placed.push({ attempt, place: await placeOf(attempt, driver) });
  }
  placed.sort((a, b) => Number(a.place - b.place));
  const states = [{ place: 0n, model: model.copy() }];
  for (const { attempt, place } of placed) {
    const { step, name, outcome } = attempt;
    expect({ seed, step, outcome: model.take(step, name) }).toEqual({ seed, step, outcome });
    states.push({ place, model: model.copy() });
  }
  for (const { step, name, outcome, before, after } of attempts.filter((each) => each.outcome !== 'ok')) {
    const possible = states.filter(
      ({ place }, index) => place <= after && (index + 1 === states.length || states[index + 1].place > before),
    );
    const outcomes = possible.map((state) => state.model.copy().take(step, name));
    expect({ seed, step, outcomes: outcomes.includes(outcome) ? [outcome] : outcomes }).toEqual({
      seed,
      step,
      outcomes: [outcome],
    });
  }
}
