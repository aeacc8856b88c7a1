import { MetrologyError, requireCount, requireInRange } from '../../metrology/problem.js';
import type { ModelTerm } from './mass-balance-point.js';

/** A lot of a recipe whose strength was found both by mass balance and by certificate. */
export interface CertificatePair {
  /** % vol by mass balance, without bias */
  readonly massBalancePercent: number;
  /** % vol by certificate, and its standard uncertainty */
  readonly certificatePercent: number;
  readonly certificateStandardUncertainty: number;
}

export const MINIMUM_PAIRS = 5;
const MAXIMUM_PAIRS = 10_000;

/**
 * Bias and standard uncertainty of the mass balance for one recipe, from five or more certificate pairs.
 *
 * Bias is the mean of certificate / mass balance − 1. *u* is that of a further lot: the scatter s of the pairs, s √(1 + 1/n), with
 * n − 1 degrees of freedom (JCGM 100 4.2), and beside it the certificates' mean relative *u*, which one laboratory repeats in each.
 * Range: strengths 0.1–30 % vol. Stated error: with few pairs the degrees of freedom say how little is known.
 * @throws MetrologyError `too-few` below five pairs; out of range; `readings-disagree` where the bias exceeds 50 %.
 */
export function modelBias(pairs: readonly CertificatePair[], origin: string): Extract<ModelTerm, { kind: 'pairs' }> {
  requireCount('pairs', pairs.length, MINIMUM_PAIRS, MAXIMUM_PAIRS);
  const n = pairs.length;
  const ratios = pairs.map((pair, i) => {
    requireInRange(`pairs.${i}.massBalance`, pair.massBalancePercent, 0.1, 30, '%');
    requireInRange(`pairs.${i}.certificate`, pair.certificatePercent, 0.1, 30, '%');
    requireInRange(`pairs.${i}.certificateStandardUncertainty`, pair.certificateStandardUncertainty, 0, 30, '%');
    return pair.certificatePercent / pair.massBalancePercent - 1;
  });
  const relativeBias = mean(ratios);
  if (Math.abs(relativeBias) > 0.5) {
    throw new MetrologyError('readings-disagree', 'Certificates and mass balance differ by more than half.', {
      pointer: 'pairs',
      value: relativeBias,
    });
  }
  const variance = ratios.reduce((sum, ratio) => sum + (ratio - relativeBias) ** 2, 0) / (n - 1);
  const shared = mean(pairs.map((pair) => pair.certificateStandardUncertainty / pair.certificatePercent));
  const scatter = variance * (1 + 1 / n);
  const total = scatter + shared ** 2;
  return {
    kind: 'pairs',
    origin,
    relativeBias,
    relativeStandardUncertainty: Math.sqrt(total),
    // Welch–Satterthwaite: only the scatter has limited degrees of freedom.
    degreesOfFreedom: scatter === 0 ? n - 1 : (n - 1) * (total / scatter) ** 2,
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
