import { EVD, Matrix } from 'ml-matrix';
import { covarianceMatrix, type Components } from './covariance.js';
import { requireCount, requireFinite, requireInRange } from './problem.js';

/** Evidence of one lot on a method: the certificate's value over the method's, less one, with the kind and recipe of the lot. */
export interface BiasEvidence {
  readonly kind: string;
  readonly recipe: string;
  readonly deviation: number;
  /** Contributions to the *u* of the deviation by origin: certificate and readings. So what they scatter is not taken for bias. */
  readonly noise: Components;
}

/** Prior of the relative bias of one lot: its mean and standard deviation, and the shares of the variance, which add to one. */
export interface BiasPrior {
  readonly mean: number;
  readonly standard: number;
  readonly shares: { readonly producer: number; readonly kind: number; readonly recipe: number; readonly lot: number };
}

/**
 * Shares of the variance of a prior where nobody states them: a default of this project, no source. Most of the bias is taken to stay with
 * a producer's way of working, a fifth to change from lot to lot.
 */
export const DEFAULT_SHARES: BiasPrior['shares'] = { producer: 0.4, kind: 0.2, recipe: 0.2, lot: 0.2 };

export interface LearnedBias {
  /** Expected relative bias of the next lot of this kind and recipe. */
  readonly mean: number;
  /** Its standard deviation: what is not known of the lasting bias, and the change from lot to lot. */
  readonly standard: number;
  /** Standard deviation from lot to lot alone. */
  readonly lotToLot: number;
  readonly certificates: number;
  readonly certificatesOfRecipe: number;
}

const MOST_EVIDENCE = 200;

/** Degrees of freedom of the prior of the variance from lot to lot: weak, so that about ten certificates outweigh it. */
const LOT_DEGREES = 6;

/** Points of the integration over the variance from lot to lot, in equal steps of its logarithm. */
const GRID_POINTS = 41;
const GRID_HALF_WIDTH = Math.log(30);

/**
 * Relative bias of a method for the next lot, learned from certificates of earlier ones: normal effects of producer, kind and recipe with
 * the stated prior (partial pooling; JCGM 100 4.3, C. Elster, Metrologia 44 (2007) 111; A. Gelman et al., Bayesian Data Analysis, 3rd ed.,
 * ch. 5), integrated over an unknown variance from lot to lot (scaled inverse chi-squared prior). The noise of certificates and readings
 * is a covariance by origin.
 *
 * @param evidence at most 200, relative (0.01 is 1 %). Without any the answer is the prior.
 * @param target the kind and recipe of the next lot; one that has no certificate yet takes what its producer and kind taught.
 * @throws MetrologyError `too-many`, `not-finite`, `out-of-range`
 */
export function learnBias(
  evidence: readonly BiasEvidence[],
  target: { readonly kind: string; readonly recipe: string },
  prior: BiasPrior,
): LearnedBias {
  requireCount('evidence', evidence.length, 0, MOST_EVIDENCE);
  requireFinite('mean', prior.mean);
  requireInRange('standard', prior.standard, 1e-6, 1);
  for (const { deviation } of evidence) requireFinite('deviation', deviation);
  const lotVariance = prior.shares.lot * prior.standard ** 2;
  const counts = {
    certificates: evidence.length,
    certificatesOfRecipe: evidence.filter(({ recipe }) => recipe === target.recipe).length,
  };
  if (evidence.length === 0) {
    return { mean: prior.mean, standard: prior.standard, lotToLot: Math.sqrt(lotVariance), ...counts };
  }
  const lasting = new Matrix(evidence.map((a) => evidence.map((b) => lastingCovariance(a, b, prior))));
  const known = Matrix.add(lasting, covarianceMatrix(evidence.map(({ noise }) => ({ components: noise }))));
  const withTarget = Matrix.columnVector(evidence.map((item) => lastingCovariance(item, target, prior)));
  const targetVariance = lastingCovariance(target, target, prior);
  const residuals = Matrix.columnVector(evidence.map(({ deviation }) => deviation - prior.mean));

  // In the directions of the known covariance a variance from lot to lot is added to each eigenvalue.
  const { realEigenvalues, eigenvectorMatrix } = new EVD(known, { assumeSymmetric: true });
  const turned = (column: Matrix): number[] => eigenvectorMatrix.transpose().mmul(column).to1DArray();
  const directions = { eigenvalues: realEigenvalues, residuals: turned(residuals), withTarget: turned(withTarget) };
  const points = lotVariances(lotVariance).map((variance) =>
    posterior(directions, variance, lotVariance, targetVariance),
  );
  const highest = Math.max(...points.map(({ logWeight }) => logWeight));
  const weights = points.map(({ logWeight }) => Math.exp(logWeight - highest));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const expected = (of: (point: Point) => number): number =>
    points.reduce((sum, point, i) => sum + (weights[i] / total) * of(point), 0);
  const shift = expected(({ mean }) => mean);
  const lot = expected(({ variance }) => variance);
  const lastingVariance = expected(({ mean, lastingVariance: one }) => one + (mean - shift) ** 2);
  return {
    mean: prior.mean + shift,
    standard: Math.sqrt(lastingVariance + lot),
    lotToLot: Math.sqrt(lot),
    ...counts,
  };
}

/** Covariance of the lasting bias of two lots of one producer. */
function lastingCovariance(
  a: { readonly kind: string; readonly recipe: string },
  b: { readonly kind: string; readonly recipe: string },
  { standard, shares }: BiasPrior,
): number {
  const kind = a.kind === b.kind ? shares.kind : 0;
  const recipe = a.recipe === b.recipe ? shares.recipe : 0;
  return standard ** 2 * (shares.producer + kind + recipe);
}

function lotVariances(center: number): number[] {
  return Array.from({ length: GRID_POINTS }, (_, i) => {
    const step = (2 * i) / (GRID_POINTS - 1) - 1;
    return center * Math.exp(step * GRID_HALF_WIDTH);
  });
}

interface Point {
  readonly variance: number;
  readonly logWeight: number;
  readonly mean: number;
  readonly lastingVariance: number;
}

interface Directions {
  readonly eigenvalues: readonly number[];
  readonly residuals: readonly number[];
  readonly withTarget: readonly number[];
}

/** The normal posterior for one variance from lot to lot, and the weight of that variance. */
function posterior(
  { eigenvalues, residuals, withTarget }: Directions,
  variance: number,
  lotVariance: number,
  targetVariance: number,
): Point {
  // Prior of the variance in steps of its logarithm: scaled inverse chi-squared whose mean is the stated variance.
  let logWeight = -(LOT_DEGREES / 2) * Math.log(variance) - ((LOT_DEGREES - 2) * lotVariance) / (2 * variance);
  let mean = 0;
  let lastingVariance = targetVariance;
  eigenvalues.forEach((eigenvalue, i) => {
    const total = Math.max(0, eigenvalue) + variance;
    logWeight -= 0.5 * (Math.log(total) + residuals[i] ** 2 / total);
    mean += (withTarget[i] * residuals[i]) / total;
    lastingVariance -= withTarget[i] ** 2 / total;
  });
  return { variance, logWeight, mean, lastingVariance: Math.max(0, lastingVariance) };
}
