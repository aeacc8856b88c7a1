import { SteppableClock } from '../../src/platform/clock.js';
import { cautionsOf, stepWords } from '../../src/production/shared/steps/steps.rules.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;

let service: TestService;
let floor: Floor;
let person: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-03-20T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  person = String((await floor.post('/v1/people', { name: 'A. Brewer' })).id);
});
afterAll(() => service.stop());

const celsius = (value: number) => ({ value, unit: 'Cel' });
const minutes = (value: number) => ({ value, unit: 'min' });

const STEPS = [
  { kind: 'heat', temperature: celsius(80), duration: minutes(15) },
  { kind: 'cool', temperature: celsius(23), after: { value: 2, unit: 'h' } },
  { kind: 'pitch-yeast', after: { value: 3, unit: 'h' } },
  { kind: 'rack', name: 'Rack off the yeast', after: { value: 12, unit: 'd' } },
  { kind: 'cold-store', temperature: celsius(2), after: { value: 30, unit: 'd' } },
];

async function plannedLot(): Promise<string> {
  const recipe = await floor.post('/v1/recipes', {
    name: 'Sugar ferment (invented)',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: { value: 200, unit: 'L' },
      fermentables: [{ kind: 'sucrose', mass: { value: 18, unit: 'kg' } }],
      steps: STEPS,
    },
  });
  const { id } = await floor.post('/v1/lots', {
    premisesId: floor.premisesId,
    recipeVersion: { recipeId: recipe.id, number: 1 },
  });
  return String(id);
}

const stepsOf = async (lotId: string) =>
  (await floor.get(`/v1/lots/${lotId}/steps`)) as unknown as {
    planned: (Json & { number: number; state: string; dueAt?: string; cautions: string[] })[];
    entered: (Json & { id: string; replacedBy?: string })[];
  };

test('planned in the recipe, due from the charge on, done with time and person', async () => {
  const lotId = await plannedLot();
  const vesselId = await floor.vessel('FV 1');
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: { value: 200, unit: 'L' },
    occurredAt: '2026-03-10T09:00:00Z',
  });
  const before = await stepsOf(lotId);
  expect(before.planned.map(({ number, inWords, state, dueAt }) => [number, inWords, state, dueAt])).toEqual([
    [1, 'Heat to 80 °C for 15 min', 'open', undefined],
    [2, 'Cool to 23 °C', 'overdue', '2026-03-10T11:00:00.000Z'],
    [3, 'Pitch the yeast', 'overdue', '2026-03-10T12:00:00.000Z'],
    // Twelve days after 10 March; the clock stands at 20 March.
    [4, 'Rack off the yeast', 'open', '2026-03-22T09:00:00.000Z'],
    [5, 'Store cold at 2 °C', 'open', '2026-04-09T09:00:00.000Z'],
  ]);
  expect(before.planned[0].cautions).toEqual([
    expect.stringContaining('Hot liquid scalds'),
    expect.stringContaining('Glass breaks'),
    'Local codes and licensed practice come first.',
  ]);

  const heated = await floor.post(`/v1/lots/${lotId}/steps`, {
    number: 1,
    temperature: { value: 176, unit: '[degF]' },
    duration: minutes(15),
    vesselId,
    personId: person,
    note: 'Lid ajar',
    occurredAt: '2026-03-10T08:30:00Z',
  });
  // 176 °F are (176 − 32) · 5/9 = 80 °C.
  expect(heated).toMatchObject({
    number: 1,
    kind: 'heat',
    inWords: 'Heat to 80 °C for 15 min',
    outcome: 'done',
    personId: person,
    note: 'Lid ajar',
    occurredAt: '2026-03-10T08:30:00.000Z',
    temperature: { value: 80, unit: 'Cel', alsoIn: { value: 176, unit: '[degF]' } },
  });
  await floor.post(`/v1/lots/${lotId}/steps`, { number: 2, outcome: 'left-out' });
  await floor.post(`/v1/lots/${lotId}/steps`, { kind: 'add-nutrient', occurredAt: '2026-03-11T08:30:00Z' });
  const after = await stepsOf(lotId);
  expect(after.planned.map(({ state }) => state)).toEqual(['done', 'left-out', 'overdue', 'open', 'open']);
  expect(after.entered.map(({ inWords }) => inWords)).toEqual(['Heat to 80 °C for 15 min', 'Add the nutrient', 'Cool']);
  expect(after.entered[0]).toEqual({ ...heated, temperature: celsius(80) });

  const { contents } = (await floor.get(`/v1/vessels/${vesselId}`)) as { contents: { liquid: Json } };
  expect(contents.liquid.next).toEqual({
    code: 'process-step',
    detail: 'Pitch the yeast.',
    dueAt: '2026-03-10T12:00:00.000Z',
  });
});

test('a wrong entry is replaced or taken back, and stays', async () => {
  const lotId = await plannedLot();
  const path = `/v1/lots/${lotId}/steps`;
  const wrong = await floor.post(path, { number: 1, temperature: celsius(70), duration: minutes(15) });
  const right = await floor.post(path, {
    number: 1,
    temperature: celsius(80),
    duration: minutes(15),
    replaces: wrong.id,
  });
  const cooled = await floor.post(path, { number: 2 });
  await floor.post(path, { outcome: 'withdrawn', replaces: cooled.id });
  const { planned, entered } = await stepsOf(lotId);
  expect(planned.map(({ state, stepId }) => [state, stepId]).slice(0, 2)).toEqual([
    ['done', right.id],
    ['open', undefined],
  ]);
  expect(entered.find(({ id }) => id === wrong.id)?.replacedBy).toBe(right.id);

  const refusals: [Json, number, string, string][] = [
    [{ number: 1 }, 409, 'conflict', '/number'],
    [{ number: 1, replaces: wrong.id }, 409, 'conflict', '/replaces'],
    [{ number: 6 }, 404, 'not-found', '/number'],
    [{ number: 2, kind: 'heat' }, 400, 'validation-failed', '/kind'],
    [{}, 400, 'validation-failed', '/kind'],
    [{ outcome: 'withdrawn' }, 400, 'validation-failed', '/replaces'],
    [{ kind: 'rack', replaces: '018f0000-0000-7000-8000-000000000000' }, 404, 'not-found', '/replaces'],
    [{ kind: 'rack', vesselId: '018f0000-0000-7000-8000-000000000000' }, 404, 'not-found', '/vesselId'],
    [{ kind: 'rack', personId: '018f0000-0000-7000-8000-000000000000' }, 404, 'not-found', '/personId'],
    [{ kind: 'boil' }, 400, 'validation-failed', '/kind'],
    [{ kind: 'heat', temperature: { value: 400, unit: 'Cel' } }, 422, 'out-of-range', '/temperature/value'],
    [{ kind: 'heat', duration: { value: 15, unit: 'kg' } }, 400, 'unit-unknown', '/duration/unit'],
  ];
  const before = await service.rowCounts();
  for (const [body, status, code, pointer] of refusals) {
    const answer = await service.call('post', path, { key: floor.key, body });
    const problem = problemOf(answer) as unknown as { code: string; errors: { pointer: string }[] };
    expect([body, answer.status, problem.code, problem.errors[0].pointer]).toEqual([body, status, code, pointer]);
  }
  const ahead = await service.call('post', path, {
    key: floor.key,
    body: { kind: 'rack', occurredAt: '2026-03-20T09:00:00Z' },
  });
  expect(problemOf(ahead).code).toBe('time-ahead');
  expect(await service.rowCounts()).toEqual(before);
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
});

test('one of two entries at once of a planned step is refused', async () => {
  const path = `/v1/lots/${await plannedLot()}/steps`;
  const answers = await Promise.all(
    [1, 2, 3].map(() => service.call('post', path, { key: floor.key, body: { number: 1 } })),
  );
  expect(answers.map(({ status }) => status).sort()).toEqual([201, 409, 409]);
});

test.each([
  [{ kind: 'heat' as const }, ['Hot', 'Glass', 'Local']],
  [{ kind: 'rack' as const, temperature: celsius(45) }, ['Hot', 'Fermentation', 'Glass', 'Local']],
  [{ kind: 'rack' as const, temperature: celsius(44) }, ['Fermentation', 'Local']],
  [{ kind: 'carbonate' as const }, ['Fermentation', 'A vessel', 'Glass', 'Local']],
  [{ kind: 'condition' as const }, ['Fermentation', 'A vessel', 'Glass', 'Local']],
  [{ kind: 'filter' as const }, []],
])('cautions of %j', (step, begins) => {
  const cautions = cautionsOf(step);
  expect(cautions).toHaveLength(begins.length);
  begins.forEach((words, index) => expect(cautions[index]).toMatch(new RegExp(`^${words}`)));
});

test('steps in words', () => {
  expect(stepWords({ kind: 'cold-store', temperature: celsius(2), duration: { value: 14, unit: 'd' } })).toBe(
    'Store cold at 2 °C for 14 days',
  );
  expect(stepWords({ kind: 'heat', temperature: { value: 176, unit: '[degF]' } })).toBe('Heat to 176 °F');
});
