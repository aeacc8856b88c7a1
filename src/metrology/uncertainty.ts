import { correlatedClusters, factorCorrelation, type CorrelationMatrix } from './correlation.js';
import { checkInputs, checkOriginsAgainst, checkSensitivities } from './input-checks.js';
import type { Distribution, InputQuantity } from './input-quantity.js';
import { MetrologyError, requireFinite } from './problem.js';
import { coverageFactorOf } from './student.js';

export type { Distribution, InputQuantity } from './input-quantity.js';

export interface BudgetLine {
  readonly name: string;
  readonly value: number;
  readonly standardUncertainty: number;
  readonly distribution: Distribution;
  /** null: infinite. */
  readonly degreesOfFreedom: number | null;
  readonly sensitivity: number;
  /** Sensitivity times standard uncertainty, signed, in the unit of the result. */
  readonly contribution: number;
  /** Part of the combined variance; covariance is split between its two lines, so shares add to one and may be negative. */
  readonly share: number;
  readonly origin: string;
  readonly unit?: string;
  /** Present where a stated correlation connects this line with one of another origin. */
  readonly correlated?: true;
}

/** A result with its uncertainty: value ± expanded, at the coverage probability asked for (95 % by default). */
export interface Uncertain {
  readonly value: number;
  readonly standard: number;
  readonly coverageFactor: number;
  readonly expanded: number;
  /** Effective degrees of freedom, not cut; null: infinite. */
  readonly degreesOfFreedom: number | null;
  readonly budget: BudgetLine[];
}

interface PropagateOptions {
  readonly correlation?: CorrelationMatrix;
  /** 0.5 to 0.9999; 0.95 by default. */
  readonly coverageProbability?: number;
}

/**
 * First-order law of propagation of uncertainty, JCGM 100:2008 5.1 and 5.2.
 *
 * Origins: inputs of one origin are fully correlated, different origins are independent. A correlation matrix, where given, holds for all
 * pairs instead; two inputs of one origin must then have the coefficient 1 in it.
 *
 * Degrees of freedom: Welch–Satterthwaite (JCGM 100 G.4.1) over independent groups. The formula is not valid for correlated inputs
 * (G.4.2), so inputs connected by origin or correlation are one group with its joint variance and the smallest ν in it; for repeated
 * simultaneous readings, n each, that is the exact n − 1. The coverage factor is the t quantile at ν rounded down to a whole number
 * (H.1.6); at infinite ν it is the normal quantile, 1.96 at 95 %, not the rounded 2.
 *
 * Range: 1 to 1,000 inputs (100 with a matrix), all numbers finite, u ≥ 0, ν ≥ 1. Error: the law itself is first order;
 * `compareWithFirstOrder` shows where that is not enough. A group whose contributions cancel to within rounding counts as exactly zero;
 * if all cancel, every share is 0.
 *
 * @throws MetrologyError `empty-budget`, `too-many`, `contradictory`, `not-finite`, `negative-uncertainty`, `out-of-range`,
 *   `not-positive-semi-definite`
 */
export function propagate(
  value: number,
  inputs: readonly InputQuantity[],
  sensitivities: readonly number[],
  options: PropagateOptions = {},
): Uncertain {
  requireFinite('value', value);
  checkInputs(inputs);
  checkSensitivities(inputs, sensitivities);
  const { correlation, coverageProbability = 0.95 } = options;
  const contributions = inputs.map((input, i) =>
    requireFinite(input.name, sensitivities[i] * input.standardUncertainty),
  );
  // In units of the largest contribution no square can overflow or vanish.
  const scale = contributions.reduce((largest, contribution) => Math.max(largest, Math.abs(contribution)), 0) || 1;
  const relative = contributions.map((contribution) => contribution / scale);
  const joint = correlation === undefined ? byOrigin(inputs, relative) : byMatrix(inputs, relative, correlation);

  let variance = 0;
  for (const group of joint.groups) variance += group.variance;
  const standard = requireFinite('standardUncertainty', scale * Math.sqrt(variance));
  const degreesOfFreedom = welchSatterthwaite(Math.sqrt(variance), joint.groups);
  const coverageFactor = coverageFactorOf(degreesOfFreedom, coverageProbability);
  const budget = inputs.map((input, i): BudgetLine => ({
    name: input.name,
    value: input.value,
    standardUncertainty: input.standardUncertainty,
    distribution: input.distribution ?? 'normal',
    degreesOfFreedom: finiteOrNull(input.degreesOfFreedom ?? Infinity),
    sensitivity: sensitivities[i],
    contribution: contributions[i],
    share: variance === 0 ? 0 : (relative[i] * joint.projections[i]) / variance,
    origin: input.origin,
    ...(input.unit === undefined ? {} : { unit: input.unit }),
    ...(joint.correlated?.[i] ? { correlated: true as const } : {}),
  }));
  return {
    value,
    standard,
    coverageFactor,
    expanded: coverageFactor * standard,
    degreesOfFreedom: finiteOrNull(degreesOfFreedom),
    budget,
  };
}

/**
 * Effective degrees of freedom of independent components, JCGM 100 G.4.1 (Welch–Satterthwaite).
 *
 * @param standard combined standard uncertainty. @param groups variances in its unit squared, ν from 1 upwards or Infinity.
 * @returns ν, not cut to a whole number; Infinity where no component limits it.
 */
export function welchSatterthwaite(
  standard: number,
  groups: readonly { readonly variance: number; readonly degreesOfFreedom: number }[],
): number {
  if (standard === 0) return Infinity;
  let sum = 0;
  for (const group of groups) {
    const part = group.variance / standard / standard;
    if (part > 0 && group.degreesOfFreedom !== Infinity) sum += (part * part) / group.degreesOfFreedom;
  }
  return sum === 0 ? Infinity : 1 / sum;
}

/**
 * Signed contributions of a budget summed by origin, in the unit of the result: a ledger stores them, so that a later total can add one
 * origin linearly over many findings.
 *
 * @throws MetrologyError `correlated-lines` where a stated correlation connects lines of different origins, which sums by origin would
 *   lose.
 */
export function componentsByOrigin(budget: readonly BudgetLine[]): Map<string, number> {
  const components = new Map<string, number>();
  for (const line of budget) {
    if (line.correlated) {
      throw new MetrologyError('correlated-lines', 'Lines correlated across origins cannot be summed by origin.', {
        pointer: line.name,
      });
    }
    components.set(line.origin, (components.get(line.origin) ?? 0) + line.contribution);
  }
  return components;
}

/**
 * Uncertainty of a total of several results: components of one origin add linearly, origins in quadrature (JCGM 100 5.2, r = 1 or 0). To
 * subtract a result, give its components negated; x − x then has no uncertainty.
 *
 * @throws MetrologyError `not-finite`
 */
export function combineComponents(...vectors: readonly ReadonlyMap<string, number>[]): {
  components: Map<string, number>;
  standard: number;
} {
  const sums = new Map<string, { sum: number; size: number }>();
  for (const vector of vectors) {
    for (const [origin, component] of vector) {
      requireFinite(origin, component);
      const held = sums.get(origin) ?? { sum: 0, size: 0 };
      sums.set(origin, { sum: held.sum + component, size: held.size + Math.abs(component) });
    }
  }
  const components = new Map<string, number>();
  for (const [origin, { sum, size }] of sums) components.set(origin, cancel(sum, size, vectors.length));
  return { components, standard: Math.hypot(...components.values()) };
}

interface Joint {
  readonly groups: { variance: number; degreesOfFreedom: number }[];
  /** For each input, the correlation-weighted sum of contributions: contribution × projection is its part of the variance. */
  readonly projections: number[];
  readonly correlated?: boolean[];
}

function byOrigin(inputs: readonly InputQuantity[], contributions: readonly number[]): Joint {
  const groups = new Map<
    string,
    { sum: number; size: number; count: number; variance: number; degreesOfFreedom: number }
  >();
  for (let i = 0; i < inputs.length; i += 1) {
    const nu = inputs[i].degreesOfFreedom ?? Infinity;
    const group = groups.get(inputs[i].origin);
    if (group === undefined) {
      const sum = contributions[i];
      groups.set(inputs[i].origin, { sum, size: Math.abs(sum), count: 1, variance: 0, degreesOfFreedom: nu });
    } else {
      group.sum += contributions[i];
      group.size += Math.abs(contributions[i]);
      group.count += 1;
      group.degreesOfFreedom = Math.min(group.degreesOfFreedom, nu);
    }
  }
  for (const group of groups.values()) {
    group.sum = cancel(group.sum, group.size, group.count);
    group.variance = group.sum * group.sum;
  }
  return {
    groups: [...groups.values()],
    projections: inputs.map((input) => groups.get(input.origin)?.sum ?? 0),
  };
}

function byMatrix(
  inputs: readonly InputQuantity[],
  contributions: readonly number[],
  correlation: CorrelationMatrix,
): Joint {
  const factor = factorCorrelation(correlation, inputs.length);
  checkOriginsAgainst(inputs, correlation);
  const cluster = correlatedClusters(correlation);
  const groups: Joint['groups'] = [];
  inputs.forEach((input, i) => {
    groups[cluster[i]] ??= { variance: 0, degreesOfFreedom: Infinity };
    const group = groups[cluster[i]];
    group.degreesOfFreedom = Math.min(group.degreesOfFreedom, input.degreesOfFreedom ?? Infinity);
  });
  // Through the factor every latent component is a square: a rounding error cannot make the variance negative.
  const latent = inputs.map((_, k) => {
    let sum = 0;
    let size = 0;
    factor.forEach((row, i) => {
      sum += row[k] * contributions[i];
      size += Math.abs(row[k] * contributions[i]);
    });
    return cancel(sum, size, inputs.length);
  });
  latent.forEach((component, k) => {
    const member = factor.findIndex((row) => row[k] !== 0);
    if (member >= 0) groups[cluster[member]].variance += component * component;
  });
  return {
    groups,
    projections: factor.map((row) => row.reduce((sum, entry, k) => sum + entry * latent[k], 0)),
    correlated: inputs.map((input, i) =>
      inputs.some((other, j) => other.origin !== input.origin && correlation[i][j] !== 0),
    ),
  };
}

/** Returns zero for a sum that is zero except for the rounding of its terms. */
function cancel(sum: number, size: number, count: number): number {
  return count > 1 && Math.abs(sum) <= count * Number.EPSILON * size ? 0 : sum;
}

function finiteOrNull(degreesOfFreedom: number): number | null {
  return degreesOfFreedom === Infinity ? null : degreesOfFreedom;
}
