import { Decimal } from 'decimal.js';
import { decimalOf } from './decimals.js';
import { MetrologyError, requireCount, requireInRange } from './problem.js';
import { studentQuantile } from './student.js';

/**
 * Tolerable negative error by nominal volume over `overML` up to and with `toML`, in per cent of nominal or in mL.
 * Source: Directive 76/211/EEC Annex I 2.4; the last three rows (over 1 L) from memory, as in SI 2006/659 and OIML R 87.
 */
const TOLERABLE_NEGATIVE_ERROR = [
  { overML: 5, toML: 50, percent: '9' },
  { overML: 50, toML: 100, absoluteML: '4.5' },
  { overML: 100, toML: 200, percent: '4.5' },
  { overML: 200, toML: 300, absoluteML: '9' },
  { overML: 300, toML: 500, percent: '3' },
  { overML: 500, toML: 1000, absoluteML: '15' },
  { overML: 1000, toML: 10000, percent: '1.5' },
  { overML: 10000, toML: 15000, absoluteML: '150' },
  { overML: 15000, toML: 50000, percent: '1' },
] as const;

/** Containers below Qn − TNE that a sample may hold, by sample size: OIML R 87 (from memory). */
const PUBLISHED_PLANS = new Map([
  [50, 3],
  [80, 5],
  [125, 7],
]);

export const MAXIMUM_FILLS = 2000;
const MINIMUM_NOMINAL_ML = 5;
const MAXIMUM_NOMINAL_ML = 50000;
/** Share of containers below Qn − TNE that a run may have, 76/211/EEC (the figure from memory). */
const TOLERATED_SHARE = 0.025;

/**
 * Tolerable negative error of a nominal volume, mL; a percentage is rounded up to the next 0.1 mL (that rule from memory). Exact.
 *
 * @param nominalML 5 to 50,000 mL. @throws MetrologyError `out-of-range`, `not-finite`
 */
export function tolerableNegativeErrorML(nominalML: number): number {
  requireInRange('nominal', nominalML, MINIMUM_NOMINAL_ML, MAXIMUM_NOMINAL_ML, 'mL');
  const row = TOLERABLE_NEGATIVE_ERROR.find(({ toML }) => nominalML <= toML);
  if (row === undefined)
    throw new MetrologyError('out-of-range', 'No tolerable negative error for this nominal volume.', {
      pointer: 'nominal',
    });
  if ('absoluteML' in row) return Number(row.absoluteML);
  return decimalOf(nominalML).times(row.percent).dividedBy(100).toDecimalPlaces(1, Decimal.ROUND_UP).toNumber();
}

export interface FillRule {
  readonly rule: 'average' | 'tolerable-negative-error' | 'twice-tolerable-negative-error';
  readonly passes: boolean;
  /** Measured value and limit: the mean in mL for the average rule, a count of containers for the others. */
  readonly found: number;
  readonly limit: number;
}

export interface FillCheck {
  readonly count: number;
  readonly meanML: number;
  readonly standardDeviationML: number;
  /** Standard uncertainty of the mean from the scatter of the fills alone, n − 1 degrees of freedom. */
  readonly standardUncertaintyOfMeanML: number;
  readonly tolerableNegativeErrorML: number;
  readonly belowTolerableNegativeError: number;
  readonly belowTwiceTolerableNegativeError: number;
  /**
   * True where the mean is at least the nominal volume. Packers aim at that; it is stricter than the test of a sample.
   */
  readonly meanReachesNominal: boolean;
  readonly rules: readonly FillRule[];
  readonly verdict: 'passes' | 'fails';
}

/**
 * Check of a run's fills against the nominal volume: the average rule and the tolerable negative error, 76/211/EEC and OIML R 87.
 * - average: accepted if mean ≥ Qn − s·t(0.995; n − 1)/√n (Annex II 2.3; the √n from memory);
 * - below Qn − TNE: at samples of 50, 80, 125 no more than 3, 5, 7; at any other size no more than occur with at least 5 % probability in
 *   a run with 2.5 % of such containers (a choice of this program, not of the directive);
 * - below Qn − 2·TNE: none.
 *
 * A small sample proves little. The measurement uncertainty of the single fills is not subtracted. The legal check is the officer's.
 *
 * @param nominalML 5 to 50,000 mL. @param fillsML volumes at 20 °C, 2 to 2,000 of them, each from 0 to twice nominal.
 * @throws MetrologyError `out-of-range`, `not-finite`, `too-few`, `too-many`
 */
export function checkFills(nominalML: number, fillsML: readonly number[]): FillCheck {
  const toleratedErrorML = tolerableNegativeErrorML(nominalML);
  const count = requireCount('fills', fillsML.length, 2, MAXIMUM_FILLS);
  fillsML.forEach((fill, i) => requireInRange(`fills/${i}`, fill, 0, 2 * nominalML, 'mL'));

  const meanML = fillsML.reduce((sum, fill) => sum + fill, 0) / count;
  const squares = fillsML.reduce((sum, fill) => sum + (fill - meanML) ** 2, 0);
  const standardDeviationML = Math.sqrt(squares / (count - 1));
  const standardUncertaintyOfMeanML = standardDeviationML / Math.sqrt(count);
  const lowestMeanML = nominalML - standardUncertaintyOfMeanML * studentQuantile(0.995, count - 1);
  // In decimals: a fill of exactly 490.1 must not fall below 505 − 14.9 by a rounding of doubles.
  const limit = (times: number): Decimal => decimalOf(nominalML).minus(decimalOf(toleratedErrorML).times(times));
  const below = (times: number): number => fillsML.filter((fill) => decimalOf(fill).lessThan(limit(times))).length;
  const belowOnce = below(1);
  const belowTwice = below(2);
  const allowed = allowedBelow(count);
  const rules: FillRule[] = [
    { rule: 'average', passes: meanML >= lowestMeanML, found: meanML, limit: lowestMeanML },
    { rule: 'tolerable-negative-error', passes: belowOnce <= allowed, found: belowOnce, limit: allowed },
    { rule: 'twice-tolerable-negative-error', passes: belowTwice === 0, found: belowTwice, limit: 0 },
  ];
  return {
    count,
    meanML,
    standardDeviationML,
    standardUncertaintyOfMeanML,
    tolerableNegativeErrorML: toleratedErrorML,
    belowTolerableNegativeError: belowOnce,
    belowTwiceTolerableNegativeError: belowTwice,
    meanReachesNominal: meanML >= nominalML,
    rules,
    verdict: rules.every(({ passes }) => passes) ? 'passes' : 'fails',
  };
}

/** Largest count that a sample may hold below Qn − TNE: the published plan, else the upper 5 % point of the binomial law. */
function allowedBelow(count: number): number {
  const published = PUBLISHED_PLANS.get(count);
  if (published !== undefined) return published;
  let probability = (1 - TOLERATED_SHARE) ** count;
  let atLeast = 1;
  for (let k = 0; k < count; k += 1) {
    const atLeastNext = atLeast - probability;
    if (atLeastNext < 0.05) return k;
    atLeast = atLeastNext;
    probability *= ((count - k) / (k + 1)) * (TOLERATED_SHARE / (1 - TOLERATED_SHARE));
  }
  return count;
}
