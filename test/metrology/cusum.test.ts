import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { averageRunLength, tabularCusum } from '../../src/metrology/cusum.js';
import { normalQuantile } from '../../src/metrology/normal.js';
import { probabilityBeyondScatter } from '../../src/metrology/scatter.js';
import { Comparison, recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

/**
 * Worked example of the tabular form, NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3: twenty group means, target 325, k = 0.3175,
 * h = 4.1959, in the units of the data. The means and the printed sums are from memory; the sums follow from the means by hand.
 */
const MEANS = [
  324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325,
  327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
];
const PRINTED_HIGH = [0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.0, 19.04];
const PRINTED_LOW = [0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0, 0, 0, 0, 0, 0, 0, 0, 0];

test('the worked example of the handbook, to its printed digits', () => {
  const points = tabularCusum(
    MEANS.map((mean) => mean - 325),
    { referenceValue: 0.3175, decisionLimit: 4.1959 },
  );
  const compared = new Comparison();
  points.forEach(({ high, low }, index) => {
    // Half of the last printed digit.
    expect(compared.add(high, PRINTED_HIGH[index])).toBeLessThanOrEqual(0.00501);
    expect(compared.add(low, PRINTED_LOW[index])).toBeLessThanOrEqual(0.00501);
  });
  // Signals from group 14 on, all upwards.
  expect(points.map(({ signal }) => signal)).toEqual([...new Array(13).fill(undefined), ...new Array(7).fill('high')]);
  recordReference({
    table: 'Tabular CUSUM: the twenty groups of the handbook',
    rows: compared.rows,
    largestDeviation: compared.largestDeviation,
    tolerance: 0.005,
    places: 3,
    unit: 'unit of the data',
    source: 'NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3',
    note: 'from memory',
  });
});

/**
 * Average run lengths at k = 0.5, both sides: Lucas and Crosier, Technometrics 24 (1982) 199–205, Table 1, which the handbook prints in 6.3.2.3.1.
 * h = 4: seen in a transcription of the paper's table; h = 5: from memory.
 */
const ARL: readonly [shift: number, h4: number, h5: number][] = [
  [0, 168, 465],
  [0.25, 74.2, 139],
  [0.5, 26.6, 38],
  [0.75, 13.3, 17],
  [1, 8.38, 10.4],
  [1.5, 4.75, 5.75],
  [2, 3.34, 4.01],
  [2.5, 2.62, 3.11],
  [3, 2.19, 2.57],
  [4, 1.71, 2.01],
];

/** Half a unit of the third printed digit. */
const halfDigit = (printed: number): number => 0.5 * 10 ** (Math.floor(Math.log10(printed)) - 2);

test('average run lengths of the handbook’s table, to the printed digits', () => {
  const compared = new Comparison();
  ARL.forEach(([shift, ...printed]) => {
    printed.forEach((length, index) => {
      const { both } = averageRunLength({ referenceValue: 0.5, decisionLimit: 4 + index }, shift);
      const deviation = compared.add(both / halfDigit(length), length / halfDigit(length));
      expect([shift, 4 + index, both, deviation <= 1.001]).toEqual([shift, 4 + index, both, true]);
    });
  });
  recordReference({
    table: 'Average run lengths of the tabular CUSUM, k = 0.5',
    rows: compared.rows,
    largestDeviation: compared.largestDeviation,
    tolerance: 1,
    places: 2,
    unit: 'half of the last printed digit',
    source: 'Lucas and Crosier, Technometrics 24 (1982), Table 1',
    note: 'h = 4 seen in a transcription, h = 5 from memory',
  });
});

test('one side alone: Brook and Evans 1972, k = 0.5 and h = 3; half as many false signals as both sides', () => {
  // 117.59 and 3.75 by a Markov chain, Biometrika 59, 539–548, 4.3; 117.4 by Waldmann 1986. Seen in a transcription.
  const limits = { referenceValue: 0.5, decisionLimit: 3 };
  const noise = averageRunLength(limits, 0);
  expect(noise.high).toBeGreaterThan(117.4 - 0.25);
  expect(noise.high).toBeLessThan(117.6 + 0.05);
  expect(averageRunLength(limits, 1.5).high).toBeCloseTo(3.75, 2);
  expect(noise.both).toBeCloseTo(noise.high / 2, 9);
});

/** Seeded normal deviates. */
function deviates(seed: number): () => number {
  const generator = xoroshiro128plus(seed);
  for (let index = 0; index < 128; index += 1) generator.next();
  return () => normalQuantile(Math.min(Math.max(uniformFloat64(generator), 1e-12), 1 - 1e-12));
}

/** Values until the first signal of a run of noise about a shift. */
function runLength(next: () => number, shift: number, side: 'high' | 'both'): number {
  const values: number[] = [];
  const limits = { referenceValue: 0.5, decisionLimit: 5 };
  for (;;) {
    for (let index = 0; index < 64; index += 1) values.push(next() + shift);
    const found = tabularCusum(values, limits).findIndex(({ signal }) =>
      side === 'both' ? signal !== undefined : signal === 'high',
    );
    if (found >= 0) return found + 1;
  }
}

test('a leak of 1.5 u a period is found within the expected run length; noise alone signals no more often than its own', () => {
  const next = deviates(20261130);
  const meanOf = (runs: number, shift: number, side: 'high' | 'both'): number => {
    let sum = 0;
    for (let run = 0; run < runs; run += 1) sum += runLength(next, shift, side);
    return sum / runs;
  };
  const runs = 2000;
  const leak = meanOf(runs, 1.5, 'high');
  // 5.75 periods by the table; the mean of 2000 runs, whose standard deviation is about 2, is sure to 0.05.
  expect(leak).toBeLessThan(5.75 + 3 * 0.05);
  expect(leak).toBeGreaterThan(5.75 - 3 * 0.05);
  // Run lengths of noise are nearly exponential: standard deviation 465/√300 = 27.
  const noise = meanOf(300, 0, 'both');
  expect(noise).toBeGreaterThan(465 - 3 * 27);
});

test('a value that is not known changes neither sum, and the sums go on after a signal', () => {
  const limits = { referenceValue: 0.5, decisionLimit: 4 };
  expect(tabularCusum([3, undefined, 3, -1], limits)).toEqual([
    { high: 2.5, low: 0 },
    { high: 2.5, low: 0 },
    { high: 5, low: 0, signal: 'high' },
    { high: 3.5, low: 0.5 },
  ]);
  // At the limit is not beyond it.
  expect(tabularCusum([4.5], limits)[0].signal).toBeUndefined();
  expect(tabularCusum([-4.6], limits)[0]).toMatchObject({ low: expect.closeTo(4.1, 12), signal: 'low' });
});

test.each([
  ['k below 0', () => tabularCusum([], { referenceValue: -0.1, decisionLimit: 4 }), 'out-of-range'],
  ['h of nothing', () => tabularCusum([], { referenceValue: 0.5, decisionLimit: 0 }), 'out-of-range'],
  ['NaN', () => tabularCusum([Number.NaN], { referenceValue: 0.5, decisionLimit: 4 }), 'not-finite'],
  ['a shift out of range', () => averageRunLength({ referenceValue: 0.5, decisionLimit: 4 }, 6), 'out-of-range'],
  ['an uncertainty that is not stated', () => probabilityBeyondScatter(1, 0), 'out-of-range'],
])('%s is refused', (_, compute, rule) => {
  expect(refusalOf(compute).rule).toBe(rule);
});

test('probability that a difference is more than scatter: the normal law, one-sided', () => {
  // Φ(0) = 0.5, Φ(1) = 0.841345, Φ(1.644854) = 0.95, Φ(3) = 0.998650: tables of the normal distribution.
  expect(probabilityBeyondScatter(0, 1)).toBe(0.5);
  expect(probabilityBeyondScatter(-0.2, 0.2)).toBeCloseTo(0.841345, 6);
  expect(probabilityBeyondScatter(1.644854, 1)).toBeCloseTo(0.95, 6);
  expect(probabilityBeyondScatter(-6, 2)).toBeCloseTo(0.99865, 6);
});
