import { checkFills, tolerableNegativeErrorML } from '../../src/metrology/fill-check.js';
import { readReferenceCsv } from '../support/reference-files.js';
import { Comparison, recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

test('76/211/EEC Annex I 2.4: tolerable negative error, every row at its ends and between', () => {
  const rows = readReferenceCsv('excise/nominal-quantity-tne.csv');
  const comparison = new Comparison();
  for (const { nominal_g_or_ml_over: over, to, tne_percent: percent, tne_absolute_g_or_ml: absolute } of rows) {
    for (const nominal of [Number(over) + 1, (Number(over) + Number(to)) / 2, Number(to)]) {
      // In tenths of a thousandth of a mL, so that the rounding up to 0.1 mL is done in whole numbers.
      const tenths =
        absolute === '' ? Math.ceil(Math.round(nominal * Number(percent) * 1000) / 10000) : Number(absolute) * 10;
      comparison.add(tolerableNegativeErrorML(nominal), tenths / 10);
    }
  }
  recordReference({
    table: 'Tolerable negative error of nominal volumes',
    rows: comparison.rows,
    largestDeviation: comparison.largestDeviation,
    tolerance: 0,
    unit: 'mL',
    source: 'Directive 76/211/EEC Annex I 2.4 (rows over 1 L: from memory)',
  });
  expect(comparison.largestDeviation).toBe(0);
  expect(rows).toHaveLength(9);
});

test('known nominal volumes', () => {
  expect([330, 500, 750, 333, 5, 50].map(tolerableNegativeErrorML)).toEqual([9.9, 15, 15, 10, 0.5, 4.5]);
});

test('mean, deviation and the limit of the mean are those of the published formula', () => {
  const result = checkFills(500, [498, 499, 501, 502, 503]);
  expect(result.meanML).toBeCloseTo(500.6, 12);
  expect(result.standardDeviationML).toBeCloseTo(Math.sqrt(17.2 / 4), 12);
  // t(0.995; 4) = 4.604, JCGM 100 Table G.2 at 99 %.
  expect(result.rules[0].limit).toBeCloseTo(500 - (4.604 * Math.sqrt(4.3)) / Math.sqrt(5), 3);
  expect(result).toMatchObject({ verdict: 'passes', meanReachesNominal: true, tolerableNegativeErrorML: 15 });
});

test('each rule fails by itself', () => {
  const fills = (low: number[], count: number, rest: number): number[] => [
    ...low,
    ...new Array<number>(count - low.length).fill(rest),
  ];
  const failing = (nominal: number, values: number[]): string[] =>
    checkFills(nominal, values)
      .rules.filter(({ passes }) => !passes)
      .map(({ rule }) => rule);
  expect(failing(500, fills([497, 498], 20, 498.5))).toEqual(['average']);
  expect(failing(500, fills([480, 480, 480, 480], 50, 503))).toEqual(['tolerable-negative-error']);
  expect(failing(500, fills([480, 480, 480], 50, 503))).toEqual([]);
  expect(failing(500, fills([469], 50, 503))).toEqual(['twice-tolerable-negative-error']);
});

test('the limits themselves are still good: decimals, not doubles', () => {
  // 330 - 9.9 is 320.1 exactly.
  expect(checkFills(330, [320.1, 340, 341])).toMatchObject({ belowTolerableNegativeError: 0 });
  expect(checkFills(330, [320.0999, 340, 341])).toMatchObject({ belowTolerableNegativeError: 1 });
  expect(checkFills(330, [310.2, 340, 341])).toMatchObject({ belowTwiceTolerableNegativeError: 0 });
  expect(checkFills(330, [310.1, 340, 341])).toMatchObject({ belowTwiceTolerableNegativeError: 1, verdict: 'fails' });
});

test('a sample between the published plans: no count that a run of 2.5 % would show in fewer than one of twenty', () => {
  const allowed = (count: number): number => checkFills(500, new Array<number>(count).fill(501)).rules[1].limit;
  expect([50, 80, 125].map(allowed)).toEqual([3, 5, 7]);
  // Binomial tails at 2.5 %: P(2 of 10 or more) = 0.0246, P(3 of 20 or more) = 0.0130, P(2 of 20 or more) = 0.0882.
  expect([2, 10, 20].map(allowed)).toEqual([0, 1, 2]);
});

test('refusals', () => {
  expect(refusalOf(() => checkFills(4, [4, 4])).rule).toBe('out-of-range');
  expect(refusalOf(() => checkFills(NaN, [4, 4])).rule).toBe('not-finite');
  expect(refusalOf(() => checkFills(500, [500])).rule).toBe('too-few');
  expect(refusalOf(() => checkFills(500, new Array<number>(2001).fill(500))).rule).toBe('too-many');
  expect(refusalOf(() => checkFills(500, [500, -1])).details).toMatchObject({
    pointer: 'fills/1',
    range: [0, 1000],
    unit: 'mL',
  });
  expect(refusalOf(() => checkFills(500, [500, Infinity])).rule).toBe('not-finite');
});
