import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-10-30T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-10-01', '2026-11-01']]);
});
afterAll(() => service.stop());

interface Watch {
  state: string;
  readings: number;
  stillSince?: string;
  expectedFinish?: { at: string; earliest: string; latest: string };
  expectedFinalGravity?: { gravity: { value: number }; low: { value: number }; high: { value: number } };
  flags: { code: string; detail: string; suggestion: string }[];
}
const day = (date: number): string => `2026-10-${String(date).padStart(2, '0')}T09:00:00Z`;
const watch = async (lotId: string): Promise<Watch> =>
  (await floor.get(`/v1/lots/${lotId}/fermentation`)) as unknown as Watch;

/** A malt wort planned to stand still at 1.010. */
async function plannedLot(): Promise<string> {
  const recipe = await floor.post('/v1/recipes', {
    name: 'Pale (invented)',
    category: 'beer',
    plan: {
      kind: 'malt',
      volume: { value: 200, unit: 'L' },
      fermentables: [{ kind: 'malt', mass: { value: 36, unit: 'kg' }, extractYield: { value: 70, unit: '%' } }],
      finalGravity: { value: 1.01, scale: 'sg-20-20' },
    },
  });
  return floor.lot('beer', { recipeVersionId: (recipe.latest as { id: string }).id });
}

test('from lag to terminal gravity, with the expected finish on the way', async () => {
  const lotId = await plannedLot();
  expect((await floor.get(`/v1/lots/${lotId}/fermentation`, 409)).detail).toBe(
    'The lot has no gravity to watch. Enter its original gravity first.',
  );
  await floor.gravity(lotId, 1.0465, day(1));
  expect(await watch(lotId)).toMatchObject({ state: 'lag', readings: 1, flags: [] });
  for (const [date, value] of [
    [2, 1.0445],
    [3, 1.036],
    [4, 1.0265],
  ] as const) {
    await floor.gravity(lotId, value, day(date));
  }
  const active = await watch(lotId);
  expect(active).toMatchObject({ state: 'active', readings: 4, flags: [] });
  // 9.5 points a day and 16.5 to go: not before the next day and a half, and within a fortnight.
  const { at, earliest, latest } = active.expectedFinish ?? { at: '', earliest: '', latest: '' };
  expect([earliest, at, latest]).toEqual([earliest, at, latest].sort());
  expect(earliest > '2026-10-05T12:00:00Z').toBe(true);
  expect(latest < '2026-10-18T12:00:00Z').toBe(true);
  const { gravity, low, high } = active.expectedFinalGravity ?? {};
  expect(gravity?.value).toBeCloseTo(1.01, 2);
  expect(low?.value).toBeLessThan(1.01);
  expect(high?.value).toBeGreaterThan(1.01);
  const wrong = await floor.gravity(lotId, 1.001, day(5));
  await floor.post(`/v1/readings/${wrong}/strike`, { reasonCode: 'misread' });
  await floor.gravity(lotId, 1.014, day(6));
  await floor.gravity(lotId, 1.0105, day(7));
  expect((await watch(lotId)).state).toBe('slowing');
  await floor.gravity(lotId, 1.01, day(8));
  await floor.gravity(lotId, 1.01, day(9));
  const still = await watch(lotId);
  expect(still).toMatchObject({ state: 'terminal', readings: 8, stillSince: '2026-10-07T09:00:00.000Z' });
  expect(still.expectedFinish).toBeUndefined();
  expect(still.flags.map(({ code }) => code)).toEqual(['terminal']);
});

test('a stand far above the plan is named a stall', async () => {
  const lotId = await plannedLot();
  const values = [1.0465, 1.036, 1.024, 1.0205, 1.02, 1.02];
  for (const [index, value] of values.entries()) {
    await floor.gravity(lotId, value, day(index + 1));
  }
  expect((await watch(lotId)).flags).toMatchObject([
    {
      code: 'stalled',
      detail: 'The gravity stands at 1.0200 since 2026-10-04T09:00:00.000Z, above the planned 1.0100.',
      suggestion: expect.stringContaining('do not pack it') as string,
    },
  ]);
});

test('the rule is the producer’s own', async () => {
  const lotId = await floor.lot();
  for (const [date, value] of [
    [1, 1.04],
    [4, 1.01],
    [6, 1.009],
    [7, 1.0085],
  ] as const) {
    await floor.gravity(lotId, value, day(date));
  }
  expect((await watch(lotId)).state).toBe('slowing');
  const { body, headers } = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
  const settings = { ...(body.settings as object), terminalChangePlato: 0.5, terminalAfterHours: 72 };
  await service.expect(200, 'patch', '/v1/producer', {
    key: floor.key,
    body: { settings },
    headers: { 'if-match': String(headers.etag) },
  });
  expect(await watch(lotId)).toMatchObject({ state: 'terminal', rule: { changePlato: 0.5, hours: 72 } });
});
