import { correlatedClusters, factorCorrelation, type CorrelationMatrix } from './correlation.js';
import { drawBlocks } from './deviates.js';
import { checkInputs, checkOriginsAgainst } from './input-checks.js';
import { MetrologyError, requireCount, requireInRange } from './problem.js';
import type { InputQuantity, Uncertain } from './uncertainty.js';

export interface MonteCarloOptions {
  readonly inputs: readonly InputQuantity[];
  /** The model; its argument is reused for the next draw, so it must not be stored. */
  readonly evaluate: (x: Float64Array) => number;
  /** 1,000 to 1,000,000; 100,000 by default. */
  readonly draws?: number;
  /** Whole number from 0 to 2³² − 1: the same seed gives the same answer. */
  readonly seed: number;
  readonly correlation?: CorrelationMatrix;
  /** 0.5 to 0.9999; 0.95 by default. */
  readonly coverageProbability?: number;
}

export interface MonteCarloResult {
  readonly mean: number;
  readonly standard: number;
  /** Shortest coverage interval. */
  readonly shortest: readonly [number, number];
  /** Probabilistically symmetric coverage interval. */
  readonly symmetric: readonly [number, number];
  readonly draws: number;
  readonly seed: number;
  /** Draws at which the model had no answer; they are not included in the other figures. */
  readonly rejected: number;
  readonly coverageProbability: number;
}

// Local constants: a look-up of a global is slow in an inner loop inside a VM context.
const { isFinite } = Number;

export const MINIMUM_DRAWS = 1_000;
const MAXIMUM_DRAWS = 1_000_000;

/** Largest share of failed draws. Above it the remaining draws no longer represent the distribution. */
const MAXIMUM_REJECTED_SHARE = 0.01;

/**
 * Propagation of distributions by Monte Carlo, JCGM 101:2008 clause 7 (intervals by 7.7).
 *
 * Inputs of one origin are made from one underlying deviate, each mapped through its own distribution (so normal and rectangular of one
 * origin rise together). Correlated normal inputs are drawn by JCGM 101 6.4.8; a stated correlation of any other distribution is refused,
 * because the standard gives no joint distribution for it. `student` is x + u·t(ν) (6.4.9), so its deviation is wider than *u*.
 * Generator: xoroshiro128+ (period 2¹²⁸ − 1) from a kept library.
 *
 * Range: inputs as for `propagate`. Error: the mean scatters by standard/√draws, an endpoint of the 95 % interval of a normal result by
 * about 2.7·standard/√draws. A draw at which the model throws a MetrologyError or gives no finite number is counted as rejected; above 1
 * % of them the computation is refused.
 *
 * @throws MetrologyError `too-many`, `too-few`, `not-whole`, `correlation-needs-normal`, `no-solution`, and what `propagate` throws
 */
export function monteCarlo(options: MonteCarloOptions): MonteCarloResult {
  const { inputs, evaluate, seed, correlation, draws = 100_000, coverageProbability = 0.95 } = options;
  checkInputs(inputs);
  requireCount('draws', draws, MINIMUM_DRAWS, MAXIMUM_DRAWS);
  requireCount('seed', seed, 0, 2 ** 32 - 1);
  requireInRange('coverageProbability', coverageProbability, 0.5, 0.9999);
  const factor = correlation === undefined ? undefined : checkedFactor(inputs, correlation);

  const results = new Float64Array(draws);
  const x = new Float64Array(inputs.length);
  const draw = drawBlocks(inputs, seed, factor);
  let kept = 0;
  for (let i = 0; i < draws; i += 1) {
    draw(x);
    const y = evaluateOrNaN(evaluate, x);
    if (isFinite(y)) {
      results[kept] = y;
      kept += 1;
    }
  }
  const rejected = draws - kept;
  if (rejected > draws * MAXIMUM_REJECTED_SHARE) {
    throw new MetrologyError('no-solution', `The model had no answer at ${rejected} of ${draws} draws.`, {
      rejected,
      draws,
    });
  }
  return { ...summary(results.subarray(0, kept), coverageProbability), draws, seed, rejected, coverageProbability };
}

function evaluateOrNaN(evaluate: (x: Float64Array) => number, x: Float64Array): number {
  try {
    return evaluate(x);
  } catch (error) {
    if (error instanceof MetrologyError) return NaN;
    throw error;
  }
}

function checkedFactor(inputs: readonly InputQuantity[], correlation: CorrelationMatrix): number[][] {
  const factor = factorCorrelation(correlation, inputs.length);
  checkOriginsAgainst(inputs, correlation);
  const cluster = correlatedClusters(correlation);
  inputs.forEach((input, i) => {
    const alone = cluster.filter((other) => other === cluster[i]).length === 1;
    if (!alone && (input.distribution ?? 'normal') !== 'normal') {
      throw new MetrologyError(
        'correlation-needs-normal',
        `${input.name} is correlated, so Monte Carlo can draw it only as normal.`,
        {
          pointer: input.name,
        },
      );
    }
  });
  return factor;
}

function summary(
  y: Float64Array,
  coverageProbability: number,
): Pick<MonteCarloResult, 'mean' | 'standard' | 'shortest' | 'symmetric'> {
  const count = y.length;
  let sum = 0;
  for (let i = 0; i < count; i += 1) sum += y[i];
  const mean = sum / count;
  let squares = 0;
  for (let i = 0; i < count; i += 1) squares += (y[i] - mean) ** 2;
  y.sort();
  const covered = Math.min(count - 1, Math.floor(coverageProbability * count + 0.5));
  let best = 0;
  for (let i = 1; i + covered < count; i += 1) if (y[i + covered] - y[i] < y[best + covered] - y[best]) best = i;
  const first = Math.floor((count - covered) / 2);
  const low = Math.min(first, count - 1 - covered);
  return {
    mean,
    standard: Math.sqrt(squares / (count - 1)),
    shortest: [y[best], y[best + covered]],
    symmetric: [y[low], y[low + covered]],
  };
}

/** Comparison of the intervals of Monte Carlo and of the law of propagation, in the unit of the result. */
export interface FirstOrderComparison {
  /** True where both ends agree within `tolerance`. */
  readonly confirmsFirstOrder: boolean;
  /** The numerical tolerance δ, in the unit of the result. */
  readonly tolerance: number;
  readonly differenceLow: number;
  readonly differenceHigh: number;
}

/**
 * Compares the interval of Monte Carlo with that of the law of propagation (JCGM 101, clause 8). The standard uncertainty is written
 * as c·10^l, with c a whole number of `significantDigits` digits. The tolerance δ is half of 10^l. The law of propagation is confirmed
 * where both ends of its interval agree within δ.
 *
 * @param firstOrder of the same inputs at the same coverage probability.
 * @param options `significantDigits` 1 (the default: 100,000 draws resolve it) or 2 (wants nearer 1,000,000); `interval` as wanted.
 * @throws MetrologyError `out-of-range`; `contradictory` where u is 0, so that there is nothing to compare
 */
export function compareWithFirstOrder(
  firstOrder: Pick<Uncertain, 'value' | 'standard' | 'expanded'>,
  result: MonteCarloResult,
  options: { readonly significantDigits?: 1 | 2; readonly interval?: 'symmetric' | 'shortest' } = {},
): FirstOrderComparison {
  const { significantDigits = 1, interval = 'symmetric' } = options;
  requireCount('significantDigits', significantDigits, 1, 2);
  if (!(firstOrder.standard > 0)) {
    throw new MetrologyError('contradictory', 'Without an uncertainty there is no interval to compare.', {
      pointer: 'standard',
    });
  }
  const [, exponent] = firstOrder.standard.toExponential(significantDigits - 1).split('e');
  const tolerance = 0.5 * 10 ** (Number(exponent) - (significantDigits - 1));
  const [low, high] = result[interval];
  const differenceLow = Math.abs(firstOrder.value - firstOrder.expanded - low);
  const differenceHigh = Math.abs(firstOrder.value + firstOrder.expanded - high);
  return {
    confirmsFirstOrder: differenceLow <= tolerance && differenceHigh <= tolerance,
    tolerance,
    differenceLow,
    differenceHigh,
  };
}
