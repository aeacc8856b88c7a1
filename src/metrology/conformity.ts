import { normalCdf } from './normal.js';
import { MetrologyError, requireFinite, requireInRange } from './problem.js';
import { studentCdf } from './student.js';

export type ConformityDecision = 'conforms' | 'does-not-conform' | 'cannot-tell';

export interface ConformityInput {
  /** The measured value, with its standard uncertainty in the same unit. */
  readonly measured: number;
  readonly standardUncertainty: number;
  /** From 1 upwards; Infinity (normal law) by default. */
  readonly degreesOfFreedom?: number;
  readonly declared: number;
  /** One number for both sides, or one for each side of the declared value; an omitted side has no limit. */
  readonly tolerance: number | { readonly below?: number; readonly above?: number };
  /** Largest accepted probability of a wrong decision, 0.0001 to 0.5; 0.05 by default. 0.5 is simple acceptance. */
  readonly allowedRisk?: number;
}

/** An interval; null on a side without a limit. */
export interface Limits {
  readonly lower: number | null;
  readonly upper: number | null;
}

interface Conformity {
  readonly decision: ConformityDecision;
  /** Probability that the true value lies within the tolerance. */
  readonly probability: number;
  readonly toleranceInterval: Limits;
  /** Measured values that would be accepted; null where *u* is too large for any to be. */
  readonly acceptance: Limits | null;
  readonly allowedRisk: number;
}

/**
 * Decision on conformity with guard band, JCGM 106:2012 clauses 7 and 8.3: `conforms` if the probability of lying within the tolerance is
 * at least 1 − risk, `does-not-conform` if it is at most the risk, else `cannot-tell`. The value has a normal distribution (Student's t
 * where degrees of freedom are given) about the measured value. No prior knowledge of the process is used.
 *
 * @returns with u = 0 the probability is 1 or 0 and the acceptance interval the tolerance interval. Stated error: probability 1e-10, ends
 *   of the acceptance interval 1e-9·u.
 * @throws MetrologyError `not-finite`, `negative-uncertainty`, `out-of-range`, `contradictory` (no limit at all, a negative tolerance)
 */
export function assessConformity(input: ConformityInput): Conformity {
  const { measured, standardUncertainty, declared, tolerance, allowedRisk = 0.05, degreesOfFreedom = Infinity } = input;
  requireFinite('measured', measured);
  requireFinite('declared', declared);
  requireFinite('standardUncertainty', standardUncertainty);
  if (standardUncertainty < 0) {
    throw new MetrologyError('negative-uncertainty', 'standardUncertainty must not be negative.', {
      pointer: 'standardUncertainty',
      range: [0, Number.MAX_VALUE],
    });
  }
  requireInRange('allowedRisk', allowedRisk, 0.0001, 0.5);
  if (degreesOfFreedom !== Infinity) requireInRange('degreesOfFreedom', degreesOfFreedom, 1, Number.MAX_VALUE);
  const toleranceInterval = limitsOf(declared, tolerance);
  const within = (y: number): number => probabilityWithin(y, standardUncertainty, degreesOfFreedom, toleranceInterval);
  const probability = within(measured);
  return {
    decision: decide(probability, allowedRisk),
    probability,
    toleranceInterval,
    acceptance: acceptanceInterval(toleranceInterval, standardUncertainty, 1 - allowedRisk, within),
    allowedRisk,
  };
}

function decide(probability: number, allowedRisk: number): ConformityDecision {
  if (probability >= 1 - allowedRisk) return 'conforms';
  return probability <= allowedRisk ? 'does-not-conform' : 'cannot-tell';
}

function limitsOf(declared: number, tolerance: ConformityInput['tolerance']): Limits {
  const { below, above } = typeof tolerance === 'number' ? { below: tolerance, above: tolerance } : tolerance;
  if (below === undefined && above === undefined) {
    throw new MetrologyError('contradictory', 'tolerance needs a limit on at least one side.', {
      pointer: 'tolerance',
    });
  }
  for (const side of [below, above]) {
    if (side !== undefined) requireInRange('tolerance', side, 0, Number.MAX_VALUE);
  }
  return {
    lower: below === undefined ? null : requireFinite('tolerance', declared - below),
    upper: above === undefined ? null : requireFinite('tolerance', declared + above),
  };
}

function probabilityWithin(y: number, u: number, nu: number, { lower, upper }: Limits): number {
  if (u === 0) return (lower === null || y >= lower) && (upper === null || y <= upper) ? 1 : 0;
  // Separate tails keep their digits. Beyond 1e150 the probability is 0, and a tiny u must not overflow.
  const tail = (distance: number): number => {
    const z = -Math.min(Math.max(distance / u, -1e150), 1e150);
    return nu === Infinity ? normalCdf(z) : studentCdf(z, nu);
  };
  const belowLower = lower === null ? 0 : tail(y - lower);
  const aboveUpper = upper === null ? 0 : tail(upper - y);
  return Math.max(0, 1 - belowLower - aboveUpper);
}

/**
 * Ends of the interval of measured values whose probability reaches `wanted`, by bisection between the limit and a point that is
 * accepted.
 */
function acceptanceInterval(limits: Limits, u: number, wanted: number, within: (y: number) => number): Limits | null {
  if (u === 0) return limits;
  const { lower, upper } = limits;
  const best = safestPoint(limits, u, wanted, within);
  if (best === null) return null;
  const edge = (limit: number): number => {
    let inside = best;
    let outside = limit;
    if (within(outside) >= wanted) outside = limit + Math.sign(limit - best) * u;
    for (let i = 0; i < 200 && Math.abs(inside - outside) > 1e-10 * u; i += 1) {
      const middle = (inside + outside) / 2;
      if (middle === inside || middle === outside) break;
      if (within(middle) >= wanted) inside = middle;
      else outside = middle;
    }
    return inside;
  };
  return { lower: lower === null ? null : edge(lower), upper: upper === null ? null : edge(upper) };
}

/** A measured value that is accepted if any is: the middle of two limits, or far enough inside of one. */
function safestPoint(
  { lower, upper }: Limits,
  u: number,
  wanted: number,
  within: (y: number) => number,
): number | null {
  if (lower !== null && upper !== null) {
    const middle = lower + (upper - lower) / 2;
    return within(middle) >= wanted ? middle : null;
  }
  const limit = lower ?? upper ?? 0;
  const inwards = lower === null ? -1 : 1;
  let distance = u;
  while (within(limit + inwards * distance) < wanted) distance *= 2;
  return limit + inwards * distance;
}
