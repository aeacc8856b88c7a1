import { STARTING_POINTS } from '../../src/excise/duty/starting-points/starting-points.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { startingSet, withCategory } from './rules-support.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const PATH = '/v1/duty-rule-sets';
const plain = startingSet('plain-litre-of-alcohol');
type Json = Record<string, unknown>;

test('every starting point is listed with its source and can be posted as it is', async () => {
  const { key } = await service.newProducer();
  const { body } = await service.expect(200, 'get', `${PATH}/starting-points`, { key });
  const { items, next } = body as { items: { key: string; advice: string; ruleSet: Json }[]; next: unknown };
  expect([items.length, next]).toEqual([STARTING_POINTS.length, null]);
  for (const [i, { ruleSet, advice }] of items.entries()) {
    expect(advice).toContain('not advice');
    const made = await service.expect(201, 'post', PATH, { key, body: ruleSet });
    expect(made.body).toMatchObject({ number: i + 1, advice, ruleSet });
    expect(made.headers.location).toBe(`${PATH}/${String(made.body.id)}`);
    expect((await service.expect(200, 'get', made.headers.location, { key })).body).toEqual(made.body);
  }
  const listed = await service.expect(200, 'get', `${PATH}?limit=200`, { key });
  expect((listed.body.items as { number: number }[]).map(({ number }) => number)).toEqual(items.map((_, i) => i + 1));
});

test('versions are numbered without a gap, also when they are made at once; who may not, cannot', async () => {
  const { key } = await service.newProducer();
  const made = await Promise.all(
    Array.from({ length: 6 }, () => service.expect(201, 'post', PATH, { key, body: plain })),
  );
  expect(made.map(({ body }) => Number(body.number)).sort()).toEqual([1, 2, 3, 4, 5, 6]);
  const brewer = await service.expect(201, 'post', '/v1/keys', { key, body: { name: 'B', role: 'brewer' } });
  const refused = await service.call('post', PATH, { key: String(brewer.body.key), body: plain });
  expect(problemOf(refused).code).toBe('forbidden');
});

describe('a rule set that cannot be applied is refused by its place, and nothing is stored', () => {
  const UK = startingSet('uk-litre-of-alcohol');
  const beer = (change: object) => withCategory(UK, 'beer', change);
  const [first, ...others] = UK.categories[0].bands;
  const step = { name: 'a', basis: 'strength', mode: 'cut', places: 1 };
  const rates = UK.categories[0].rates ?? [];
  const refusals: [name: string, body: object, status: number, rule: string, pointer: string][] = [
    [
      'a gap in the dates of a rate',
      beer({ rates: rates.map((each) => (each.from === '2025-02-01' ? { ...each, from: '2025-02-02' } : each)) }),
      422,
      'rate-gap',
      '/categories/0/rates/1/from',
    ],
    [
      'an overlap in the dates of a rate',
      beer({ rates: rates.map((each) => (each.from === '2025-02-01' ? { ...each, from: '2025-01-31' } : each)) }),
      422,
      'rate-overlap',
      '/categories/0/rates/1/from',
    ],
    [
      'a set that begins after its last rate',
      { ...UK, validFrom: '2026-03-01' },
      422,
      'rate-gap',
      '/categories/0/rates/1/before',
    ],
    [
      'steps that contradict',
      beer({ rounding: [step, { ...step, name: 'b', places: 2 }] }),
      422,
      'contradictory',
      '/categories/0/rounding/1',
    ],
    [
      'a step that the basis does not have',
      beer({ rounding: [{ ...step, basis: 'barrels' }] }),
      422,
      'step-not-of-basis',
      '/categories/0/rounding/0/basis',
    ],
    ['a unit that the basis does not take', beer({ unit: 'barrel' }), 422, 'unit-not-of-basis', '/categories/0/unit'],
    [
      'bands that leave a strength out',
      beer({ bands: [first, ...others.slice(1)], rates: [] }),
      422,
      'band-gap',
      '/categories/0/bands/1/fromStrength',
    ],
    [
      'bands that overlap',
      beer({ bands: [{ ...first, belowStrength: { value: 1.4, unit: '%' } }, ...others] }),
      422,
      'band-overlap',
      '/categories/0/bands/1/fromStrength',
    ],
    [
      'a band with a basis of its own: the basis holds for the whole category',
      beer({ bands: [{ ...first, basis: 'plato-hectolitre' } as typeof first, ...others] }),
      400,
      'unknown-property',
      '/categories/0/bands/0/basis',
    ],
    [
      'a band with a unit of its own',
      beer({ bands: [first, { ...others[0], unit: 'hL' } as typeof first, ...others.slice(1)] }),
      400,
      'unknown-property',
      '/categories/0/bands/1/unit',
    ],
    ['an unknown basis', beer({ basis: 'bucket' }), 400, 'one-of', '/categories/0/basis'],
    [
      'an unknown basis of a step',
      beer({ rounding: [{ ...step, basis: 'colour' }] }),
      400,
      'one-of',
      '/categories/0/rounding/0/basis',
    ],
    [
      'places that are not whole',
      beer({ rounding: [{ ...step, places: 1.5 }] }),
      422,
      'not-whole',
      '/categories/0/rounding/0/places',
    ],
    ['no bands', beer({ bands: [] }), 422, 'too-few', '/categories/0/bands'],
    ['no categories', { ...UK, categories: [] }, 422, 'too-few', '/categories'],
    [
      'a strength above 100 %',
      beer({ bands: [{ code: 'a', fromStrength: { value: 101, unit: '%' } }] }),
      422,
      'out-of-range',
      '/categories/0/bands/0/fromStrength/value',
    ],
    [
      'a rate below nothing',
      beer({ rates: [{ ...rates[0], amount: -1 }] }),
      422,
      'out-of-range',
      '/categories/0/rates/0/amount',
    ],
    ['a rate as text', beer({ rates: [{ ...rates[0], amount: '9.27' }] }), 400, 'type', '/categories/0/rates/0/amount'],
    ['no such day', { ...UK, validFrom: '2026-02-30' }, 400, 'not-a-date', '/validFrom'],
    ['no currency', { ...UK, currency: undefined }, 422, 'required', '/currency'],
    ['a currency in small letters', { ...UK, currency: 'gbp' }, 400, 'pattern', '/currency'],
    ['a property that there is not', { ...UK, number: 7 }, 400, 'unknown-property', '/number'],
  ];

  test.each(refusals)('%s', async (_, body, status, rule, pointer) => {
    const { key } = await service.newProducer();
    const before = await service.rowCounts();
    const refused = await service.call('post', PATH, { key, body, headers: { 'idempotency-key': 'x' } });
    const problem = problemOf(refused);
    expect([refused.status, problem.errors?.[0].pointer, problem.errors?.[0].rule]).toEqual([status, pointer, rule]);
    expect(await service.rowCounts()).toEqual(before);
  });

  test('a rule set that is not there, and one that cannot be changed', async () => {
    const { key } = await service.newProducer();
    const unknown = await service.call('get', `${PATH}/018f0000-0000-7000-8000-000000000000`, { key });
    expect(problemOf(unknown).code).toBe('not-found');
    const made = await service.expect(201, 'post', PATH, { key, body: plain });
    for (const method of ['patch', 'put', 'delete'] as const) {
      const refused = await service.call(method, `${PATH}/${String(made.body.id)}`, { key, body: plain });
      expect(problemOf(refused).code).toBe('method-not-allowed');
    }
  });
});
