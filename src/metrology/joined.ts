import chiSquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import { Matrix } from 'ml-matrix';
import { covarianceMatrix, inverseOf, type Components } from './covariance.js';
import { requireCount, requireFinite, requireInRange } from './problem.js';
import { COVERAGE_95 } from './student.js';

/** One result for a quantity, with its contributions to *u* by origin (`componentsByOrigin`). */
export interface Estimate {
  readonly name: string;
  readonly value: number;
  readonly components: Components;
}

interface JoinedMember {
  readonly name: string;
  /** Weight in the joined value; weights add to one. Below zero where the estimate shares most of its errors with a better one. */
  readonly weight: number;
  /** The estimate less the joined value. */
  readonly deviation: number;
  /** Standard uncertainty of the deviation. */
  readonly standardOfDeviation: number;
  /** |deviation| over its expanded uncertainty; above 1 the estimate does not fit. */
  readonly en: number;
}

export interface Joined {
  readonly value: number;
  readonly standard: number;
  /** Contributions to *u* by origin, for a later total. */
  readonly components: Map<string, number>;
  readonly members: JoinedMember[];
  readonly chiSquared: number;
  /** Estimates less one. */
  readonly degreesOfFreedom: number;
  /** Probability of so large a chi-squared where all estimates have the uncertainty that they state. */
  readonly probability: number;
  /** The probability is at least the significance asked for. */
  readonly consistent: boolean;
  /** The estimate without which the rest agrees best, where not consistent and at least three. Else null. */
  readonly misfit: string | null;
}

const MOST_ESTIMATES = 50;

/**
 * Joins results for one quantity by generalised least squares: the linear combination without bias of least variance, with the covariance
 * that shared origins mean. Consistency by chi-squared and E_n after M. G. Cox, Metrologia 39 (2002) 589–595, procedure A; with covariances
 * L. Lyons, D. Gibaut and P. Clifford, Nucl. Instrum. Methods A 270 (1988) 110.
 *
 * @param estimates 2 to 50 of one unit, each with *u* above zero. @param significance 0.0001 to 0.5; 0.05 as in the paper.
 * @returns the joined value with its contributions by origin. The law is first order and takes each *u* as known.
 * @throws MetrologyError `too-few`, `too-many`, `not-finite`, `out-of-range`, `contradictory` (two estimates that share every error)
 */
export function joinEstimates(estimates: readonly Estimate[], significance = 0.05): Joined {
  requireCount('estimates', estimates.length, 2, MOST_ESTIMATES);
  requireInRange('significance', significance, 0.0001, 0.5);
  for (const { name, value } of estimates) requireFinite(name, value);
  const covariance = covarianceMatrix(estimates);
  const fit = fitOf(estimates, covariance);
  const variance = sum(fit.weights.map((weight, i) => weight * fit.covarianceWithJoined[i]));
  const consistent = fit.probability >= significance;
  return {
    value: fit.value,
    standard: Math.sqrt(variance),
    components: weightedComponents(estimates, fit.weights),
    members: estimates.map((estimate, i) => {
      const deviation = estimate.value - fit.value;
      const standardOfDeviation = Math.sqrt(Math.max(0, covariance.get(i, i) - variance));
      return {
        name: estimate.name,
        weight: fit.weights[i],
        deviation,
        standardOfDeviation,
        en: standardOfDeviation === 0 ? 0 : Math.abs(deviation) / (COVERAGE_95 * standardOfDeviation),
      };
    }),
    chiSquared: fit.chiSquared,
    degreesOfFreedom: estimates.length - 1,
    probability: fit.probability,
    consistent,
    misfit: consistent || estimates.length < 3 ? null : worstOf(estimates),
  };
}

interface Fit {
  readonly value: number;
  readonly weights: number[];
  readonly covarianceWithJoined: number[];
  readonly chiSquared: number;
  readonly probability: number;
}

function fitOf(estimates: readonly Estimate[], covariance: Matrix): Fit {
  const inverse = inverseOf(covariance, 'estimates');
  const rows = inverse.to2DArray().map(sum);
  const total = sum(rows);
  const weights = rows.map((row) => row / total);
  const value = sum(weights.map((weight, i) => weight * estimates[i].value));
  const deviations = Matrix.columnVector(estimates.map((estimate) => estimate.value - value));
  const chiSquared = Math.max(0, deviations.transpose().mmul(inverse).mmul(deviations).get(0, 0));
  const covarianceWithJoined = covariance.mmul(Matrix.columnVector(weights)).to1DArray();
  return { value, weights, covarianceWithJoined, chiSquared, probability: chance(chiSquared, estimates.length - 1) };
}

/** Probability of a chi-squared of at least this size. */
function chance(chiSquared: number, degreesOfFreedom: number): number {
  return 1 - chiSquareCdf(chiSquared, degreesOfFreedom);
}

function worstOf(estimates: readonly Estimate[]): string {
  let worst = { name: '', chiSquared: Infinity };
  for (const { name } of estimates) {
    const rest = estimates.filter((estimate) => estimate.name !== name);
    const { chiSquared } = fitOf(rest, covarianceMatrix(rest));
    if (chiSquared < worst.chiSquared) worst = { name, chiSquared };
  }
  return worst.name;
}

function weightedComponents(estimates: readonly Estimate[], weights: readonly number[]): Map<string, number> {
  const components = new Map<string, number>();
  estimates.forEach((estimate, i) => {
    for (const [origin, component] of estimate.components) {
      components.set(origin, (components.get(origin) ?? 0) + weights[i] * component);
    }
  });
  return components;
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
