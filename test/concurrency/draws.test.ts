import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold, stockLitres } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { APRIL, APRIL_2, MARCH } from '../support/full-producer.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2), poolSize: 8, processes: 2 });
});
afterAll(() => service.stop());

const litres = (value: number) => ({ value, unit: 'L' });

/** A floor with a finished lot of `inTank` litres in a tank and the rest still in its fermenter. */
async function tankOf(all: number, inTank: number) {
  const floor = await Floor.open(service, [MARCH, APRIL]);
  const fermenter = await floor.vessel('FV1');
  const tank = await floor.vessel('BT1', 'bright-tank');
  const facts = { litres: all, original: 1.04, final: 0.998, day: '2026-03-02', finishedDay: '2026-03-10' };
  const lotId = await floor.finishedLot(fermenter, facts);
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: fermenter,
    toVesselId: tank,
    ...(inTank === all ? {} : { volume: litres(inTank) }),
    occurredAt: '2026-03-14T09:00:00Z',
  });
  return { floor, lotId, fermenter, tank };
}

const sample = (
  { floor, lotId }: { floor: Floor; lotId: string },
  vesselId: string,
  volume: number,
  occurredAt: string,
) =>
  service.call('post', '/v1/movements', {
    key: floor.key,
    body: { kind: 'sample', lotId, vesselId, volume: litres(volume), occurredAt },
  });

/** Small and repeatable: what is drawn when does not differ from run to run. */
function* days(seed: number): Generator<string> {
  for (let state = seed; ; state = (state * 48_271) % 2_147_483_647) {
    yield `2026-03-${15 + (state % 17)}T${String(state % 24).padStart(2, '0')}:00:00Z`;
  }
}

test('two clients drawing at once from one vessel, a thousand tries, some dated back: never below zero at any moment', async () => {
  // 60 L until the 25th, then 60 more: a draw dated before it may not live on what came after.
  const world = await tankOf(120, 60);
  const { floor, lotId, fermenter, tank } = world;
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: fermenter,
    toVesselId: tank,
    occurredAt: '2026-03-25T00:30:00Z',
  });
  const before = await stockLitres(service, floor.producerId);
  expect(Number(before)).toBeCloseTo(120, 6);

  const outcomes = { drawn: 0, early: 0, refused: 0 };
  const client = async (seed: number): Promise<void> => {
    const dates = days(seed);
    for (let tries = 0; tries < 500; tries += 1) {
      const occurredAt = String(dates.next().value);
      const answer = await sample(world, tank, 0.75, occurredAt);
      if (answer.status === 201) {
        outcomes.drawn += 1;
        outcomes.early += occurredAt < '2026-03-25T00:30' ? 1 : 0;
      } else {
        expect(problemOf(answer).code).toBe('insufficient-stock');
        outcomes.refused += 1;
      }
    }
  };
  await Promise.all([client(11), client(7_919)]);

  expect(outcomes.drawn + outcomes.refused).toBe(1_000);
  // All of it, and no drop more; no more than 60 L of it before the second 60 L came.
  expect(outcomes.drawn).toBe(160);
  expect(outcomes.early).toBeGreaterThan(0);
  expect(outcomes.early).toBeLessThanOrEqual(80);
  expect(Number(await stockLitres(service, floor.producerId))).toBe(0);
  await expectBooksHold(service, floor.producerId, floor.key);
}, 120_000);

test('of ten drawable exactly ten', async () => {
  const world = await tankOf(10, 10);
  const answers = await Promise.all(
    Array.from({ length: 48 }, (_, n) => sample(world, world.tank, 1, `2026-03-2${n % 10}T12:00:00Z`)),
  );
  const codes = answers.filter(({ status }) => status !== 201).map((answer) => problemOf(answer).code);
  expect(codes.length).toBe(38);
  expect(new Set(codes)).toEqual(new Set(['insufficient-stock']));
  await expectBooksHold(service, world.floor.producerId, world.floor.key);
});

const packaging = (vesselId: string, more: object) => ({
  vesselId,
  container: 'bottle',
  nominalVolume: { value: 500, unit: 'mL' },
  declaredStrength: { value: 5, unit: '%' },
  occurredAt: '2026-03-20T09:00:00Z',
  ...more,
});

test('two packagings of one tank at once: one wins', async () => {
  for (let round = 0; round < 5; round += 1) {
    const { floor, lotId, tank } = await tankOf(50, 50);
    const answers = await Promise.all(
      [99, 98].map((count) =>
        service.call('post', `/v1/lots/${lotId}/packagings`, { key: floor.key, body: packaging(tank, { count }) }),
      ),
    );
    expect(answers.map(({ status }) => status).sort()).toEqual([201, 409]);
    expect(problemOf(answers.filter(({ status }) => status === 409)[0]).code).toBe('insufficient-stock');
    await expectBooksHold(service, floor.producerId, floor.key);
  }
});

test('sixteen writers pack from one tank, stock for forty, sixty attempts: forty', async () => {
  const { floor, lotId, tank } = await tankOf(20, 20);
  const queue = Array.from({ length: 60 }, (_, n) => n);
  const statuses: number[] = [];
  const writer = async (): Promise<void> => {
    for (let n = queue.pop(); n !== undefined; n = queue.pop()) {
      const body = packaging(tank, { count: 1, emptied: false, loss: litres(0) });
      const answer = await service.call('post', `/v1/lots/${lotId}/packagings`, { key: floor.key, body });
      statuses.push(answer.status);
      if (answer.status !== 201) {
        expect(['insufficient-stock', 'packing-exceeds-gauge']).toContain(problemOf(answer).code);
      }
    }
  };
  await Promise.all(Array.from({ length: 16 }, writer));
  const packed = statuses.filter((status) => status === 201).length;
  const { items } = (await floor.get('/v1/packaged-lots?limit=200')) as { items: { onHand: number }[] };
  expect(items.reduce((sum, { onHand }) => sum + onHand, 0)).toBe(packed);
  // What is packed beyond the gauge is a flagged gain within its uncertainty, never stock below zero.
  expect(packed).toBe(40);
  await expectBooksHold(service, floor.producerId, floor.key);
}, 120_000);

test('two lots into one empty vessel at once: one gets in, by charge and by transfer', async () => {
  const floor = await Floor.open(service, [MARCH, APRIL]);
  for (let round = 0; round < 4; round += 1) {
    const vesselId = await floor.vessel(`V${round}`);
    const lots = [await floor.lot(), await floor.lot(), await floor.lot()];
    const charged = await Promise.all(
      lots.map((lotId) =>
        service.call('post', `/v1/lots/${lotId}/charges`, {
          key: floor.key,
          body: { vesselId, volume: litres(100), occurredAt: '2026-03-02T10:00:00Z' },
        }),
      ),
    );
    expect(charged.map(({ status }) => status).sort()).toEqual([201, 409, 409]);
    expect(charged.filter(({ status }) => status === 409).map((answer) => problemOf(answer).code)).toEqual([
      'vessel-in-use',
      'vessel-in-use',
    ]);
  }
  const into = await floor.vessel('T1');
  const sources = [];
  for (const name of ['A', 'B', 'C']) {
    const fromVesselId = await floor.vessel(name);
    const facts = { litres: 50, original: 1.04, final: 0.998, day: '2026-03-02', finishedDay: '2026-03-10' };
    sources.push({ fromVesselId, lotId: await floor.finishedLot(fromVesselId, facts) });
  }
  const moved = await Promise.all(
    sources.map(({ lotId, fromVesselId }) =>
      service.call('post', `/v1/lots/${lotId}/transfers`, {
        key: floor.key,
        body: { fromVesselId, toVesselId: into, occurredAt: '2026-03-12T09:00:00Z' },
      }),
    ),
  );
  expect(moved.map(({ status }) => status).sort()).toEqual([201, 409, 409]);
  await expectBooksHold(service, floor.producerId, floor.key);
});
