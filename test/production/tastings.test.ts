import { TestService } from '../support/service.js';
import { World } from './records-world.js';

interface Served {
  number: number;
  codes: string[];
}
interface Made {
  id: string;
  servings: Served[];
}
interface Pouring {
  servings: { number: number; samples: { code: string; label: string }[] }[];
}
interface Shown {
  closed: boolean;
  version: number;
  answers: number;
  result?: {
    answers: number;
    chosen: number;
    pValue: number;
    leastNumber: number;
    decision: string;
    statement: string;
    panel: { serving: number; chosen: string; correct?: boolean; note?: string; personId?: string }[];
  };
}

let service: TestService;
let world: World;
beforeAll(async () => {
  service = await TestService.start();
  world = await World.of(service);
});
afterAll(() => service.stop());

const drinks = [{ label: 'Yeast 1' }, { label: 'Yeast 2' }];
const triangle = { name: 'Two yeasts', method: 'triangle', drinks, servings: 12 };
const paired = { name: 'Two nutrients', method: 'paired', drinks, servings: 6, question: 'Which one is sweeter?' };

/** Answers the first servings, so many of them with the odd one. */
async function answerTriangle({ id, servings }: Made, answered: number, right: number): Promise<void> {
  const pouring = await world.get<Pouring>(`/v1/tastings/${id}/pouring-list`);
  for (const { number } of servings.slice(0, answered)) {
    const samples = pouring.servings[number - 1].samples;
    const odd = samples.find(({ label }) => samples.filter((other) => other.label === label).length === 1);
    const chosen = number <= right ? odd : samples.find((sample) => sample !== odd);
    await world.post(`/v1/tastings/${id}/answers`, { serving: number, chosen: chosen?.code });
  }
}

test('a triangle test: blind until it is closed, then the exact test and the notes of the panel', async () => {
  const made = await world.post<Made>('/v1/tastings', triangle);
  expect(made.servings).toHaveLength(12);
  expect(JSON.stringify(made.servings)).not.toMatch(/Yeast|"A"|"B"/);
  const { id: personId } = await world.post('/v1/people', { name: 'Ada Example (invented)' });
  const path = `/v1/tastings/${made.id}`;
  const [, second, ...rest] = made.servings;
  await answerTriangle({ ...made, servings: [made.servings[0], ...rest.slice(0, 10)] }, 11, 9);
  const noted = { serving: 2, chosen: second.codes[0], personId, note: 'Pear, and a little sulfur.' };
  expect(await world.post(`${path}/answers`, noted)).toMatchObject(noted);
  const open = await world.get<Shown>(path);
  expect([open.closed, open.answers, open.result]).toEqual([false, 12, undefined]);

  const closed = await world.patch(path, { closed: true }, '"v1"');
  expect([closed.status, (closed.body as Shown).closed]).toEqual([200, true]);
  const { result } = await world.get<Shown>(path);
  const chosen = result?.chosen ?? 0;
  // Servings 1 and 3 to 9 were answered rightly, 10 to 12 wrongly; serving 2 by its first code.
  expect([8, 9]).toContain(chosen);
  // ISO 4120, 12 answers at 5 %: 8 (from memory).
  expect(result).toMatchObject({ answers: 12, leastNumber: 8, decision: 'difference-shown' });
  const ways = { 8: 495 * 16 + 220 * 8 + 66 * 4 + 12 * 2 + 1, 9: 220 * 8 + 66 * 4 + 12 * 2 + 1 }[chosen as 8 | 9];
  expect(result?.pValue).toBeCloseTo(ways / 3 ** 12, 12);
  expect(result?.panel[1]).toMatchObject({ serving: 2, personId, note: noted.note });
  expect(result?.panel.filter(({ correct }) => correct === true)).toHaveLength(chosen);
  expect(result?.statement).toMatch(/of 12 found the odd one; 8 show a difference at 0.05/);
  await world.trailHolds();
});

test('a paired comparison, two-sided: six equal choices of six are just enough', async () => {
  const made = await world.post<Made>('/v1/tastings', paired);
  const path = `/v1/tastings/${made.id}`;
  const pouring = await world.get<Pouring>(`${path}/pouring-list`);
  for (const { number, samples } of pouring.servings) {
    const chosen = samples.find(({ label }) => label === 'Yeast 2')?.code;
    await world.post(`${path}/answers`, { serving: number, chosen });
  }
  await world.patch(path, { closed: true }, '"v1"');
  const { result } = await world.get<Shown>(path);
  // 2 · (1/2)⁶ = 1/32.
  expect(result).toMatchObject({ answers: 6, chosen: 0, leastNumber: 6, pValue: 1 / 32, decision: 'difference-shown' });
  expect(result?.panel.every(({ chosen, correct }) => chosen === 'Yeast 2' && correct === undefined)).toBe(true);
});

test('codes and order are drawn anew each time, each order equally often', async () => {
  const [one, two] = [
    await world.post<Made>('/v1/tastings', triangle),
    await world.post<Made>('/v1/tastings', triangle),
  ];
  expect(one.servings).not.toEqual(two.servings);
  const { servings } = await world.get<Pouring>(`/v1/tastings/${one.id}/pouring-list`);
  const orders = servings.map(({ samples }) => samples.map(({ label }) => label.slice(-1)).join(''));
  for (const order of ['112', '121', '211', '122', '212', '221']) {
    expect(orders.filter((each) => each === order)).toHaveLength(2);
  }
});

describe('refused, and nothing is stored', () => {
  test.each([
    ['a triangle test with a question', { ...triangle, question: 'Which?' }, 'validation-failed', '/question'],
    ['a paired comparison without one', { ...paired, question: undefined }, 'validation-failed', '/question'],
    ['a two-sided triangle test', { ...triangle, sides: 2 }, 'validation-failed', '/sides'],
    ['one drink', { ...triangle, drinks: [drinks[0]] }, 'not-computable', '/drinks'],
    ['no serving', { ...triangle, servings: 0 }, 'out-of-range', '/servings'],
    [
      'a lot that is not there',
      { ...triangle, drinks: [drinks[0], { ...drinks[1], lotId: '018f0000-0000-7000-8000-000000000000' }] },
      'not-found',
      '/drinks/1/lotId',
    ],
  ])('%s', async (_what, body, code, pointer) => {
    const problem = await world.refused(code, 'post', '/v1/tastings', body);
    expect(problem.errors?.[0].pointer).toBe(pointer);
  });

  test('an answer to a serving that is not there, with a code of another one, twice, or too late', async () => {
    const made = await world.post<Made>('/v1/tastings', triangle);
    const path = `/v1/tastings/${made.id}`;
    const [first, second] = made.servings;
    const bad = async (body: object, code: string, pointer?: string) => {
      const problem = await world.refused(code, 'post', `${path}/answers`, body);
      expect(problem.errors?.[0]?.pointer).toBe(pointer);
    };
    await bad({ serving: 13, chosen: '417' }, 'validation-failed', '/serving');
    await bad({ serving: 1, chosen: second.codes[0] }, 'validation-failed', '/chosen');
    await world.post(`${path}/answers`, { serving: 1, chosen: first.codes[0] });
    await bad({ serving: 1, chosen: first.codes[1] }, 'already-exists', '/serving');
    await world.patch(path, { closed: true }, '"v1"');
    await bad({ serving: 2, chosen: second.codes[0] }, 'conflict');
    const again = await world.patch(path, { closed: false }, '"v2"');
    expect([again.status, (again.body as { code: string }).code]).toEqual([409, 'conflict']);
    await bad({ serving: 2, chosen: second.codes[0] }, 'conflict');
  });
});
