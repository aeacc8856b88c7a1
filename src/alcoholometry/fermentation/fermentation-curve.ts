import { requireInRange } from '../../metrology/problem.js';
import { drawBlocks } from '../../metrology/deviates.js';
import { leastSquares } from './least-squares.js';
import type { Fit } from './least-squares.js';

/** A gravity in °P, hours after the first. */
export interface CurvePoint {
  readonly hours: number;
  readonly plato: number;
}

/** A producer's rule: terminal once the gravity changes by no more than this over so many hours. */
export interface TerminalRule {
  readonly changePlato: number;
  readonly hours: number;
}

export interface CurveInput {
  /** In the order of time, hours from 0; the first is the original gravity. */
  readonly points: readonly CurvePoint[];
  /** Gravity at which it is expected to stand still, with its standard uncertainty, °P. */
  readonly expectedFinal: { readonly plato: number; readonly standardUncertainty: number };
  readonly terminal: TerminalRule;
  /** Of one reading, °P; 0.1 by default: half a point of SG and its meniscus (common practice, no source). */
  readonly readingUncertainty?: number;
  /** Same seed, same answer; 1 by default. */
  readonly seed?: number;
}

interface Interval {
  readonly value: number;
  /** Limits of the 95 % interval. */
  readonly low: number;
  readonly high: number;
}

export interface CurveForecast {
  /** From when on the rule calls it terminal, hours after the first gravity. */
  readonly finishHours: Interval;
  readonly finalPlato: Interval;
}

export const CURVE_METHOD = {
  id: 'fermentation-curve',
  version: '1.0.0',
  source:
    'five-parameter logistic of attenuation (the logistic of ASBC Yeast-14 with an exponent of asymmetry; from memory), averaged over the exponent',
};

/** Original gravity and final gravity, °P; logarithm of the share of the fall in an hour at its fastest; hours until then. */
type Parameters = readonly [original: number, final: number, logRate: number, middle: number];

/** Form of the logistic: its exponent of asymmetry, and whether it runs backwards, with the slow end first. */
interface Shape {
  readonly exponent: number;
  readonly backwards: boolean;
}

/** Shapes that are averaged: near 0 is Gompertz’s curve, 1 the plain logistic; backwards with a small exponent it ends abruptly. */
const SHAPES: readonly Shape[] = [
  ...[0.1, 0.5, 1, 3].map((exponent) => ({ exponent, backwards: false })),
  ...[0.03, 0.2, 0.5].map((exponent) => ({ exponent, backwards: true })),
];
const DRAWS = 500;
/** Share of the time that is still to go, standard uncertainty: real kinetics are no logistic. From simulated curves, see the tests. */
const MODEL_SHARE = 0.1;
/** No curve of these shapes follows a ferment closer than this share of its fall. */
const MODEL_FALL_SHARE = 0.03;
/** At its fastest a fiftieth of the fall in an hour, within a factor of two; common practice, no source. */
const PRIOR_LOG_RATE = { mean: Math.log(0.02), standardUncertainty: 0.7 };
const MINIMUM_POINTS = 4;
/** Before a tenth of the expected fall the curve says nothing of its end. */
const MINIMUM_FALL_SHARE = 0.1;
const LONGEST_HOURS = 24 * 365;

/** Share of the fall that is done, 0 to 1. */
function done({ exponent, backwards }: Shape, [, , logRate, middle]: Parameters, hours: number): number {
  const rate = Math.exp(logRate) * Math.pow(1 + exponent, 1 + 1 / exponent);
  const x = (backwards ? 1 : -1) * rate * (hours - middle);
  const share = Math.pow(1 + exponent * Math.exp(Math.min(700, x)), -1 / exponent);
  return backwards ? 1 - share : share;
}

const gravityAt = (shape: Shape, at: Parameters, hours: number): number =>
  at[0] - (at[0] - at[1]) * done(shape, at, hours);

/** First hour at which the rule is kept from then on, by bisection after the fastest fall. */
function finishOf(shape: Shape, at: Parameters, { changePlato, hours }: TerminalRule): number {
  const falls = (from: number): boolean =>
    gravityAt(shape, at, from) - gravityAt(shape, at, from + hours) > changePlato;
  let [low, high] = [at[3], at[3] + LONGEST_HOURS];
  if (!falls(low)) {
    return low;
  }
  while (high - low > 0.01) {
    const middle = (low + high) / 2;
    [low, high] = falls(middle) ? [middle, high] : [low, middle];
  }
  return high;
}

/** Hours at which half of the expected fall was done, between two points or beyond the last. */
function halfTime(points: readonly CurvePoint[], final: number): number {
  const half = (points[0].plato + final) / 2;
  const after = points.findIndex(({ plato }) => plato <= half);
  const last = points[points.length - 1];
  if (after <= 0) {
    const fall = points[0].plato - last.plato;
    return fall <= 0 ? last.hours * 2 : (last.hours * (points[0].plato - half)) / fall;
  }
  const [before, then] = [points[after - 1], points[after]];
  return before.hours + ((before.plato - half) / (before.plato - then.plato)) * (then.hours - before.hours);
}

/** The curve of one shape fitted to the points and to what is known beforehand. */
function fitted(shape: Shape, input: CurveInput): Fit | undefined {
  const { points, expectedFinal, readingUncertainty = 0.1 } = input;
  const u = Math.hypot(readingUncertainty, MODEL_FALL_SHARE * (points[0].plato - expectedFinal.plato));
  const middle = halfTime(points, expectedFinal.plato);
  const residuals = (p: readonly number[]): number[] => {
    const at = p as Parameters;
    return [
      ...points.map(({ hours, plato }) => (plato - gravityAt(shape, at, hours)) / u),
      (at[1] - expectedFinal.plato) / expectedFinal.standardUncertainty,
      (at[2] - PRIOR_LOG_RATE.mean) / PRIOR_LOG_RATE.standardUncertainty,
      (at[3] - middle) / Math.max(24, middle),
    ];
  };
  return leastSquares(residuals, [points[0].plato, expectedFinal.plato, PRIOR_LOG_RATE.mean, middle]);
}

const quantile = (sorted: readonly number[], p: number): number =>
  sorted[Math.min(sorted.length - 1, Math.max(0, Math.round(p * (sorted.length - 1))))];

function intervalOf(values: readonly number[]): Interval {
  const sorted = [...values].sort((a, b) => a - b);
  return { value: quantile(sorted, 0.5), low: quantile(sorted, 0.025), high: quantile(sorted, 0.975) };
}

/**
 * Forecast of the end of a fermentation from its gravities. The share of the fall that is done follows a five-parameter logistic,
 * (1 + ν·e^(−B(t − M)))^(−1/ν), forwards or backwards in time.
 *
 * The shape ν cannot be known before the end, so curves of several shapes are weighted by how well each fits (Laplace's approximation). Draws of
 * their parameters give the intervals. An error of the model is included: 3 % of the fall in each reading, a tenth of the remaining time. Range: 4
 * points and more, a tenth of the expected fall done. Stated error: the interval; of ten curves simulated by another kinetic model, with noise and
 * missing days, it held the finish of nine at every reading from half-way on (see the tests).
 *
 * @returns undefined where it is too early to say
 * @throws MetrologyError `out-of-range`
 */
export function forecastFermentation(input: CurveInput): CurveForecast | undefined {
  const { points, expectedFinal, readingUncertainty: u = 0.1 } = input;
  requireInRange('readingUncertainty', u, 0.001, 5, '°P');
  const [first, last] = [points.at(0), points.at(-1)];
  const lowest = Math.min(...points.map(({ plato }) => plato));
  if (first === undefined || last === undefined || points.length < MINIMUM_POINTS) {
    return undefined;
  }
  if (first.plato - lowest < MINIMUM_FALL_SHARE * (first.plato - expectedFinal.plato)) {
    return undefined;
  }
  const fits = SHAPES.flatMap((shape) => {
    const fit = fitted(shape, input);
    return fit === undefined ? [] : [{ shape, fit }];
  });
  if (fits.length === 0) {
    return undefined;
  }
  return drawn(weighted(fits), input);
}

interface WeightedFit {
  readonly shape: Shape;
  readonly fit: Fit;
  readonly draws: number;
}

/** Divides the draws among the shapes by the evidence for each. */
function weighted(fits: readonly { readonly shape: Shape; readonly fit: Fit }[]): WeightedFit[] {
  const evidence = fits.map(({ fit }) => -fit.chiSquare / 2 - fit.logDeterminant / 2);
  const best = Math.max(...evidence);
  const weights = evidence.map((each) => Math.exp(each - best));
  const sum = weights.reduce((all, each) => all + each, 0);
  return fits.map((each, index) => ({ ...each, draws: Math.round((DRAWS * weights[index]) / sum) }));
}

function drawn(fits: readonly WeightedFit[], { points, terminal, seed = 1 }: CurveInput): CurveForecast {
  const lastHours = points[points.length - 1].hours;
  // Where no curve fits within the stated uncertainties, they were stated too small.
  const least = Math.min(...fits.map(({ fit }) => fit.chiSquare));
  const inflation = Math.sqrt(Math.max(1, least / Math.max(1, points.length - 4)));
  const deviates = [0, 1, 2, 3, 4].map((index) => ({
    name: `deviate ${index}`,
    value: 0,
    standardUncertainty: 1,
    origin: `deviate/${index}`,
  }));
  const draw = drawBlocks(deviates, seed);
  const x = new Float64Array(deviates.length);
  const finishes: number[] = [];
  const finals: number[] = [];
  for (const { shape, fit, draws } of fits) {
    for (let count = 0; count < draws; count += 1) {
      draw(x);
      const at = fit.parameters.map(
        (each, i) => each + inflation * fit.covarianceRoot[i].reduce((all, root, k) => all + root * x[k], 0),
      ) as unknown as Parameters;
      const finish = finishOf(shape, at, terminal);
      const remaining = Math.max(0, finish - lastHours);
      finishes.push(finish + remaining * (Math.exp(MODEL_SHARE * x[4]) - 1));
      finals.push(at[1]);
    }
  }
  return { finishHours: intervalOf(finishes), finalPlato: intervalOf(finals) };
}
