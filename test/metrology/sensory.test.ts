import fc from 'fast-check';
import { drawServings, MOST_SERVINGS } from '../../src/metrology/blind-order.js';
import { binomialUpperTail, sensoryTest } from '../../src/metrology/sensory.js';
import { recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

const choose = (n: bigint, k: bigint): bigint => (k === 0n ? 1n : (choose(n - 1n, k - 1n) * n) / k);

/** P(X ≥ least) in whole numbers, for p = 1 / `of`: nothing of the program's arithmetic is in it. */
function exactTail(count: number, least: number, of: bigint): number {
  const n = BigInt(count);
  let ways = 0n;
  for (let k = BigInt(least); k <= n; k += 1n) ways += choose(n, k) * (of - 1n) ** (n - k);
  const SCALE = 10n ** 40n;
  return Number((ways * SCALE) / of ** n) / 1e40;
}

test('the tail of the binomial law against exact whole numbers', () => {
  for (const [count, of] of [
    [1, 3n],
    [6, 3n],
    [24, 3n],
    [60, 2n],
    [300, 3n],
    [300, 2n],
  ] as const) {
    for (const least of [0, 1, Math.floor(count / 3), Math.ceil(count / 2), Math.ceil(0.6 * count), count]) {
      const exact = exactTail(count, least, of);
      const found = binomialUpperTail(count, least, 1 / Number(of));
      if (exact > 1e-20) expect(found / exact).toBeCloseTo(1, 10);
    }
  }
  expect(binomialUpperTail(1000, 1000, 1 / 3)).toBeGreaterThanOrEqual(0);
});

const deviations: number[] = [];

/** Compares least numbers with those of a table, and keeps how far they are apart. */
function compare(found: readonly (number | null)[], table: readonly (number | null)[]): void {
  deviations.push(...found.map((number, index) => Math.abs((number ?? 0) - (table[index] ?? 0))));
  expect(found).toEqual(table);
}

// Least numbers at 5, 1 and 0.1 %: ISO 4120 table A.1, values from memory.
test.each([
  [6, 5, 6, null],
  [12, 8, 9, 10],
  [18, 10, 12, 13],
  [24, 13, 15, 16],
  [30, 15, 17, 19],
])('triangle test, %i answers: %i, %i and %i right ones show a difference', (answers, ...least) => {
  const found = [0.05, 0.01, 0.001].map(
    (significance) => sensoryTest({ method: 'triangle', sides: 1, answers, chosen: 0, significance }).leastNumber,
  );
  compare(found, least);
});

// Least numbers at 5 %, one- and two-sided: ISO 5495 tables, values from memory.
test.each([
  [10, 9, 9],
  [15, 12, 12],
  [20, 15, 15],
  [25, 18, 18],
  [30, 20, 21],
  [40, 26, 27],
])('paired comparison, %i answers: %i one-sided, %i two-sided', (answers, one, two) => {
  const found = ([1, 2] as const).map(
    (sides) => sensoryTest({ method: 'paired', sides, answers, chosen: 0, significance: 0.05 }).leastNumber,
  );
  compare(found, [one, two]);
});

test('the tables are kept for the page of methods', () => {
  recordReference({
    table: 'ISO 4120 and ISO 5495: least numbers',
    rows: deviations.length,
    largestDeviation: Math.max(...deviations),
    tolerance: 0,
    unit: 'answers',
    source: 'ISO 4120 table A.1, ISO 5495 tables (from memory)',
  });
});

test('two-sided, few choices of the first drink are as clear as many', () => {
  const of = (chosen: number) => sensoryTest({ method: 'paired', sides: 2, answers: 20, chosen, significance: 0.05 });
  expect(of(4)).toEqual(of(16));
  expect(of(16).pValue).toBeCloseTo(2 * exactTail(20, 16, 2n), 12);
  expect(of(10).pValue).toBe(1);
  expect([of(14).isDifferent, of(15).isDifferent]).toEqual([false, true]);
});

test('two answers can never show a difference in a triangle test at 5 %', () => {
  const found = sensoryTest({ method: 'triangle', sides: 1, answers: 2, chosen: 2, significance: 0.05 });
  expect(found).toMatchObject({ isDifferent: false, leastNumber: null });
  expect(found.pValue).toBeCloseTo(1 / 9, 12);
});

test.each([
  ['a two-sided triangle test', { sides: 2 as const }, 'contradictory'],
  ['more right ones than answers', { chosen: 11 }, 'too-many'],
  ['half an answer', { answers: 9.5 }, 'not-whole'],
  ['no answer', { answers: 0, chosen: 0 }, 'too-few'],
  ['a significance of 0', { significance: 0 }, 'out-of-range'],
])('refused: %s', (_name, change, rule) => {
  const good = { method: 'triangle' as const, sides: 1 as const, answers: 10, chosen: 5, significance: 0.05 };
  expect(refusalOf(() => sensoryTest({ ...good, ...change })).rule).toBe(rule);
});

describe('servings', () => {
  const seeded = (seed: number) => {
    let state = seed;
    return (below: number): number => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      return Math.floor((state / 2 ** 32) * below);
    };
  };
  const ordersOf = (method: 'triangle' | 'paired', count: number, seed: number): Map<string, number> => {
    const used = new Map<string, number>();
    for (const { samples } of drawServings(method, count, seeded(seed))) {
      const order = samples.map(({ drink }) => drink).join('');
      used.set(order, (used.get(order) ?? 0) + 1);
    }
    return used;
  };

  test('every order is used equally often, and once more or less in a part of a block', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: MOST_SERVINGS }), fc.integer({ min: 1, max: 1e9 }), (count, seed) => {
        const triangle = [...ordersOf('triangle', count, seed).values()];
        expect(Math.max(...triangle)).toBe(Math.ceil(count / 6));
        if (count % 6 === 0) expect(new Set(triangle)).toEqual(new Set([count / 6]));
        const paired = ordersOf('paired', count, seed);
        expect(Math.abs((paired.get('AB') ?? 0) - (paired.get('BA') ?? 0))).toBeLessThanOrEqual(1);
      }),
      { numRuns: 40 },
    );
    expect([...ordersOf('triangle', 60, 7).keys()].sort()).toEqual(['AAB', 'ABA', 'ABB', 'BAA', 'BAB', 'BBA']);
  });

  test('each code has three digits and comes once in a tasting', () => {
    const codes = drawServings('triangle', MOST_SERVINGS, seeded(3)).flatMap(({ samples }) =>
      samples.map(({ code }) => code),
    );
    expect(codes.every((code) => /^[1-9]\d\d$/.test(code))).toBe(true);
    expect(new Set(codes).size).toBe(900);
    expect(refusalOf(() => drawServings('paired', MOST_SERVINGS + 1, seeded(1))).rule).toBe('too-many');
  });
});
