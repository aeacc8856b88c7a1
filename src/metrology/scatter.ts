import { normalCdf } from './normal.js';
import { MetrologyError, requireFinite } from './problem.js';

/**
 * Probability that a measured difference is more than measuring scatter: that the true difference has the sign of the measured one,
 * P(true > 0 | measured > 0) = Φ(|difference| / u). One-sided, normal distribution, no prior knowledge: JCGM 106:2012, 7.2 with the limit 0.
 *
 * @param difference in any unit, of either sign. @param standardUncertainty in the same unit, above 0
 * @returns 0.5 (nothing but scatter) to 1. Stated error 2e-15.
 * @throws MetrologyError `not-finite`, `out-of-range` for an uncertainty of 0 or below: what is not stated has no probability
 */
export function probabilityBeyondScatter(difference: number, standardUncertainty: number): number {
  requireFinite('difference', difference);
  requireFinite('standardUncertainty', standardUncertainty);
  if (standardUncertainty <= 0) {
    throw new MetrologyError('out-of-range', 'The standard uncertainty has to be above 0.', {
      pointer: 'standardUncertainty',
      range: [Number.MIN_VALUE, Number.MAX_VALUE],
    });
  }
  return normalCdf(Math.abs(difference) / standardUncertainty);
}
