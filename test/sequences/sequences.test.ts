import { SteppableClock } from '../../src/platform/clock.js';
import { withConnection } from '../../src/platform/database/connection.js';
import { Door } from '../../src/tenancy/door/door.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { Driver } from './driver.js';
import type { Step } from './model.js';
import { Model } from './model.js';
import { chances, nextStep } from './steps.js';

// Random sequences of operations against the plain model, alone and several clients at once. More of them: npm run soak.
const SEQUENCES = Number(process.env.SEQUENCES ?? 150);
const CONCURRENT = Number(process.env.CONCURRENT_SEQUENCES ?? 50);
const FIRST_SEED = Number(process.env.SEED ?? 1);
const STEPS = 24;
const LOTS = ['lot-1', 'lot-2', 'lot-3'];
const VESSELS = ['vessel-1', 'vessel-2', 'vessel-3', 'vessel-4'];

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T00:00:00Z')) });
});
afterAll(() => service.stop());

async function world(): Promise<{ floor: Floor; driver: Driver }> {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']], 'UTC');
  const driver = new Driver(floor);
  for (const lot of LOTS) driver.name(lot, await floor.lot());
  for (const vessel of VESSELS) driver.name(vessel, await floor.vessel(vessel));
  return { floor, driver };
}

/** Stock never below zero at any moment, operations adding to zero, balances equal to their postings: asked of the tables, not of the service. */
async function requireSound(producerId: string): Promise<void> {
  const faults = await withConnection(service.database.superuserUrl, async (connection) => {
    const { rows } = await connection.query(
      `SELECT 'below zero' AS fault, account_id::text AS at FROM (
         SELECT p.account_id, p.occurred_at,
                sum(sum(p.litres)) OVER w AS l, sum(sum(p.lpa_fermented)) OVER w AS f, sum(sum(p.lpa_added)) OVER w AS a
           FROM posting p JOIN account c ON c.producer_id = p.producer_id AND c.id = p.account_id
          WHERE p.producer_id = $1 AND c.side = 'stock' GROUP BY p.account_id, p.occurred_at
         WINDOW w AS (PARTITION BY p.account_id ORDER BY p.occurred_at)) t
        WHERE l < 0 OR f < 0 OR a < 0 OR (l = 0 AND f + a <> 0)
       UNION ALL
       SELECT 'unbalanced', operation_id::text FROM posting WHERE producer_id = $1 GROUP BY operation_id
        HAVING sum(litres) <> 0 OR sum(lpa_fermented) <> 0 OR sum(lpa_added) <> 0
       UNION ALL
       SELECT 'balance', b.account_id::text FROM balance b WHERE b.producer_id = $1 AND (b.litres, b.lpa_fermented, b.lpa_added) <>
         (SELECT sum(p.litres), sum(p.lpa_fermented), sum(p.lpa_added) FROM posting p WHERE p.producer_id = $1 AND p.account_id = b.account_id)`,
      [producerId],
    );
    return rows as unknown[];
  });
  expect(faults).toEqual([]);
}

/** Every stock account of the service, under the model's names. */
async function requireEqual(floor: Floor, driver: Driver, model: Model): Promise<void> {
  const { items } = (await floor.get('/v1/accounts?limit=200')) as {
    items: {
      kind: string;
      compositionId?: string;
      vesselId?: string;
      packagedLotId?: string;
      litres: { value: number };
      litresOfPureAlcohol: { value: number };
    }[];
  };
  const held = new Map(
    items.map((each) => [
      each.kind === 'packaged' ? `packed/${each.packagedLotId}` : `liquid/${each.compositionId}/${each.vesselId}`,
      [each.litres.value, each.litresOfPureAlcohol.value],
    ]),
  );
  const expected = new Map(
    [...model.stock()].map(([account, { litres, alcohol }]) => {
      const [kind, what, vessel] = account.split('/');
      const key =
        kind === 'packed'
          ? `packed/${driver.id(`packaged/${what}`)}`
          : `liquid/${driver.id(`composition/${what}`)}/${driver.id(vessel)}`;
      return [key, [litres.toNumber(), alcohol.toNumber()]];
    }),
  );
  for (const [key, amounts] of expected) {
    expect([key, held.get(key) ?? [0, 0]]).toEqual([key, amounts]);
  }
}

interface Attempt {
  readonly step: Step;
  readonly name: string;
  readonly outcome: string;
  /** Operations that stood before it was sent, and when it was answered. */
  readonly before: number;
  readonly after: number;
}

test(`${SEQUENCES} sequences of one client give what the model gives, refusals included`, async () => {
  const outcomes = new Map<string, number>();
  for (let seed = FIRST_SEED; seed < FIRST_SEED + SEQUENCES; seed += 1) {
    const { floor, driver } = await world();
    const [model, chance] = [new Model(), chances(seed)];
    for (let index = 0; index < STEPS; index += 1) {
      const step = nextStep(model, chance, index * 29, LOTS, VESSELS);
      const name = `${seed}-${index}`;
      const expected = model.take(step, name);
      const outcome = await driver.take(step, name);
      expect({ seed, index, step, outcome }).toEqual({ seed, index, step, outcome: expected });
      outcomes.set(`${step.kind} ${outcome}`, (outcomes.get(`${step.kind} ${outcome}`) ?? 0) + 1);
    }
    await requireEqual(floor, driver, model);
    await requireSound(floor.producerId);
    expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
  }
  console.info(
    `[sequences] ${[...outcomes]
      .sort()
      .map(([what, count]) => `${what}: ${count}`)
      .join(', ')}`,
  );
}, 3_600_000);

test(`${CONCURRENT} sequences of three clients at once replay in the order of the head`, async () => {
  for (let seed = FIRST_SEED; seed < FIRST_SEED + CONCURRENT; seed += 1) {
    const { floor, driver } = await world();
    const [model, chance] = [new Model(), chances(seed + 1_000_000)];
    const count = async (): Promise<number> => {
      const head = await service.app.get(Door).read(floor, (tx) => tx.producerHead.findFirst());
      return Number(head?.operationSequence ?? 0);
    };
    for (let round = 0; round < STEPS / 3; round += 1) {
      const steps = [0, 1, 2].map((client) => ({
        step: nextStep(model, chance, round * 80 + client, LOTS, VESSELS),
        name: `${seed}-${round}-${client}`,
      }));
      const attempts = await Promise.all(
        steps.map(async ({ step, name }): Promise<Attempt> => {
          const before = await count();
          const outcome = await driver.take(step, name);
          return { step, name, outcome, before, after: await count() };
        }),
      );
      await replay(model, attempts, driver, floor, seed);
    }
    await requireEqual(floor, driver, model);
    await requireSound(floor.producerId);
    expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
  }
}, 3_600_000);

/** Carried out in the order of their sequence numbers; a refusal has to be one at some moment between its sending and its answer. */
async function replay(
  model: Model,
  attempts: readonly Attempt[],
  driver: Driver,
  floor: Floor,
  seed: number,
): Promise<void> {
  const done = attempts.filter(({ outcome }) => outcome === 'ok');
  const placed = await Promise.all(
    done.map(async (attempt) => {
      const operation = await floor.get(`/v1/operations/${driver.id(`operation/${attempt.name}`)}`);
      return { attempt, sequence: Number(operation.sequence) };
    }),
  );
  placed.sort((a, b) => a.sequence - b.sequence);
  const states = [{ sequence: Math.min(...attempts.map(({ before }) => before)), model: model.copy() }];
  for (const { attempt, sequence } of placed) {
    expect({ seed, ...attempt, outcome: model.take(attempt.step, attempt.name) }).toEqual({ seed, ...attempt });
    states.push({ sequence, model: model.copy() });
  }
  for (const attempt of attempts.filter(({ outcome }) => outcome !== 'ok')) {
    const possible = states.filter(
      ({ sequence }, index) => sequence <= attempt.after && (states[index + 1]?.sequence ?? Infinity) > attempt.before,
    );
    const outcomes = possible.map((state) => state.model.copy().take(attempt.step, attempt.name));
    expect({ seed, attempt, outcomes: outcomes.includes(attempt.outcome) ? [attempt.outcome] : outcomes }).toEqual({
      seed,
      attempt,
      outcomes: [attempt.outcome],
    });
  }
}
