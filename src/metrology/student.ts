import tCdf from '@stdlib/stats-base-dists-t-cdf';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { normalCdf, normalQuantile } from './normal.js';
import { requireFinite, requireInRange } from './problem.js';

/**
 * From this many degrees of freedom the quantile comes from the expansion about the normal law, which is exact to 1e-12. The library
 * gives 0 near the median for very many degrees of freedom.
 */
const LARGE_DEGREES = 10_000;

/** Cornish–Fisher expansion of the t quantile about the normal quantile z, to ν⁻³ (Abramowitz & Stegun 26.7.5, from memory). */
function largeDegreesQuantile(z: number, nu: number): number {
  const z2 = z * z;
  const g1 = (z * (z2 + 1)) / 4;
  const g2 = (z * ((5 * z2 + 16) * z2 + 3)) / 96;
  const g3 = (z * (((3 * z2 + 19) * z2 + 17) * z2 - 15)) / 384;
  return z + g1 / nu + g2 / (nu * nu) + g3 / (nu * nu * nu);
}

/**
 * Distribution function of Student's t, from `@stdlib/stats-base-dists-t-cdf`.
 *
 * @param t any finite number. @param degreesOfFreedom from 1 upwards; Infinity is the normal law. Error 1e-12 absolute to
 * ν = 1e6, 1e-11 to 1e7, 3e-9 beyond (compared with an independent continued fraction).
 * @throws MetrologyError `not-finite`, `out-of-range`
 */
export function studentCdf(t: number, degreesOfFreedom: number): number {
  requireFinite('t', t);
  requireDegreesOfFreedom(degreesOfFreedom);
  return degreesOfFreedom > 1e8 ? normalCdf(t) : tCdf(t, degreesOfFreedom);
}

/**
 * Quantile of Student's t, from `@stdlib/stats-base-dists-t-quantile`.
 *
 * @param p probability, 0 < p < 1. @param degreesOfFreedom from 1 upwards; Infinity is the normal law. Error 1e-10 relative
 *   for probabilities from 1e-6 to 1 − 1e-6; JCGM 100 Table G.2 is reproduced to its printed digits.
 * @throws MetrologyError `not-finite`, `out-of-range`
 */
export function studentQuantile(p: number, degreesOfFreedom: number): number {
  requireDegreesOfFreedom(degreesOfFreedom);
  const z = normalQuantile(p);
  if (degreesOfFreedom === Infinity || p === 0.5) return z;
  return degreesOfFreedom >= LARGE_DEGREES ? largeDegreesQuantile(z, degreesOfFreedom) : tQuantile(p, degreesOfFreedom);
}

/** Coverage factor at 95 % for infinite degrees of freedom: the normal quantile 1.959964, for reports and findings alike. */
export const COVERAGE_95 = normalQuantile(0.975);

const cachedFactors = new Map<number, Float64Array>();

/**
 * Two-sided coverage factor k of JCGM 100 G.3: the t quantile for the coverage probability and the degrees of freedom rounded
 * down to a whole number (as in H.1.6). Factors for up to 10,000 degrees of freedom are kept.
 *
 * @param degreesOfFreedom from 1 upwards, or Infinity: then the normal quantile, 1.959964 at 95 % (not the rounded 2).
 * @param coverageProbability 0.5 to 0.9999. Stated error 1e-10 relative.
 * @throws MetrologyError `not-finite`, `out-of-range`
 */
export function coverageFactorOf(degreesOfFreedom: number, coverageProbability = 0.95): number {
  requireInRange('coverageProbability', coverageProbability, 0.5, 0.9999);
  requireDegreesOfFreedom(degreesOfFreedom);
  let factors = cachedFactors.get(coverageProbability);
  if (factors === undefined) {
    // The cache stays bounded when a caller tries many probabilities.
    if (cachedFactors.size >= 16) cachedFactors.clear();
    factors = new Float64Array(LARGE_DEGREES + 1);
    factors[0] = normalQuantile(0.5 + coverageProbability / 2);
    cachedFactors.set(coverageProbability, factors);
  }
  if (degreesOfFreedom === Infinity) return factors[0];
  // The factor allows for rounding: 16 degrees of freedom must not become 15.999… and then 15.
  const whole = Math.floor(degreesOfFreedom * (1 + 1e-12));
  if (whole > LARGE_DEGREES) return largeDegreesQuantile(factors[0], whole);
  if (factors[whole] === 0) factors[whole] = studentQuantile(0.5 + coverageProbability / 2, whole);
  return factors[whole];
}

function requireDegreesOfFreedom(degreesOfFreedom: number): void {
  if (degreesOfFreedom === Infinity) return;
  requireInRange('degreesOfFreedom', degreesOfFreedom, 1, Number.MAX_VALUE);
}
