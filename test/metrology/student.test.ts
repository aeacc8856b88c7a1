import fc from 'fast-check';
import { normalCdf, normalQuantile } from '../../src/metrology/normal.js';
import { coverageFactorOf, studentCdf, studentQuantile } from '../../src/metrology/student.js';
import { readReferenceCsv } from '../support/reference-files.js';
import { Comparison, recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

/** The columns for one, two and three standard deviations are named by their rounded probability. */
function withinSigmas(count: number): number {
  return 1 - 2 * normalCdf(-count);
}

const PROBABILITIES = {
  'p68.27': withinSigmas(1),
  p90: 0.9,
  p95: 0.95,
  'p95.45': withinSigmas(2),
  p99: 0.99,
  'p99.73': withinSigmas(3),
};

/** Printed 1.70; 1.690 in every other table of t, and here: a misprint of the source. */
const SUSPECTED_MISPRINT = 'nu=35 p90';

test('JCGM 100 Table G.2: every t factor to its printed digits', () => {
  const comparison = new Comparison();
  const misprints = new Comparison();
  const beyond: string[] = [];
  for (const row of readReferenceCsv('physics/t-factors-gum-table-g2.csv')) {
    const nu = row.nu === 'inf' ? Infinity : Number(row.nu);
    for (const [column, probability] of Object.entries(PROBABILITIES)) {
      const printed = row[column];
      const unit = 10 ** printed.split('.')[1].length;
      const cell = `nu=${row.nu} ${column}`;
      // In units of the last printed digit, so that rows of two and three places are one table.
      const kind = cell === SUSPECTED_MISPRINT ? misprints : comparison;
      const deviation = kind.add(studentQuantile(0.5 + probability / 2, nu) * unit, Number(printed) * unit);
      if (deviation > 0.5) beyond.push(cell);
    }
  }
  recordReference({
    table: 'GUM t-factors (Table G.2)',
    rows: comparison.rows + misprints.rows,
    largestDeviation: comparison.largestDeviation,
    tolerance: 0.5,
    unit: 'last printed digits',
    source: 'JCGM 100:2008 Table G.2',
    note: `suspected misprint kept apart: ${SUSPECTED_MISPRINT} is printed 1.70, computed 1.690 (off by ${misprints.largestDeviation.toFixed(2)} digits)`,
  });
  expect(beyond).toEqual([SUSPECTED_MISPRINT]);
  expect(comparison.rows + misprints.rows).toBe(168);
});

test('closed forms: one and two degrees of freedom', () => {
  for (const p of [0.51, 0.6, 0.9, 0.975, 0.9999, 0.999999]) {
    expect(studentQuantile(p, 1) / Math.tan(Math.PI * (p - 0.5))).toBeCloseTo(1, 9);
    expect(studentQuantile(p, 2) / ((2 * p - 1) * Math.sqrt(2 / (4 * p * (1 - p))))).toBeCloseTo(1, 9);
  }
  expect(studentCdf(1, 1)).toBeCloseTo(0.75, 14);
});

test('known values of the normal law', () => {
  // Abramowitz & Stegun Tables 26.1 and 26.5, from memory.
  expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 14);
  expect(normalCdf(1)).toBeCloseTo(0.8413447460685429, 15);
  expect(normalCdf(-6) / 9.865876450376981e-10).toBeCloseTo(1, 12);
  expect(normalCdf(-40)).toBe(0);
  expect(normalCdf(40)).toBe(1);
});

test('quantile and distribution function invert each other', () => {
  const probability = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true });
  fc.assert(
    fc.property(probability, (p) => {
      expect(Math.abs(normalCdf(normalQuantile(p)) / p - 1)).toBeLessThan(1e-13);
    }),
  );
  fc.assert(
    fc.property(probability, fc.double({ min: 1, max: 20000, noNaN: true }), (p, nu) => {
      expect(Math.abs(studentCdf(studentQuantile(p, nu), nu) - p)).toBeLessThan(1e-11);
    }),
  );
});

test('the expansion for many degrees of freedom agrees with the exact solution', () => {
  for (const p of [0.6, 0.975, 0.995, 0.99995]) {
    expect(studentQuantile(p, 10000) / studentQuantile(p, 9999.9999)).toBeCloseTo(1, 10);
  }
});

test('the coverage factor rounds the degrees of freedom down to a whole number', () => {
  expect(coverageFactorOf(16.7, 0.99)).toBe(coverageFactorOf(16, 0.99));
  expect(coverageFactorOf(15.999999999999998, 0.95)).toBe(coverageFactorOf(16, 0.95));
  expect(coverageFactorOf(Infinity)).toBeCloseTo(1.959964, 6);
  expect(coverageFactorOf(123456.7)).toBeCloseTo(studentQuantile(0.975, 123456), 12);
});

test('refusals', () => {
  expect(refusalOf(() => normalQuantile(0)).rule).toBe('out-of-range');
  expect(refusalOf(() => normalQuantile(NaN)).rule).toBe('not-finite');
  expect(refusalOf(() => studentQuantile(0.5, 0.9)).rule).toBe('out-of-range');
  expect(refusalOf(() => studentCdf(Infinity, 3)).rule).toBe('not-finite');
  expect(refusalOf(() => coverageFactorOf(5, 1)).rule).toBe('out-of-range');
  expect(refusalOf(() => coverageFactorOf(NaN)).rule).toBe('not-finite');
});
