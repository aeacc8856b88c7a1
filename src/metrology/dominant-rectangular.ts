import { normalCdf } from './normal.js';
import { requireInRange } from './problem.js';
import { COVERAGE_95 } from './student.js';
import type { Uncertain } from './uncertainty.js';

/** Coverage at 95 % that takes the shape of one dominant rectangular input into account. */
export interface DominantRectangular {
  readonly name: string;
  readonly coverageFactor: number;
  readonly expanded: number;
}

/** Part of the variance from which an input dominates. */
const DOMINANT_SHARE = 0.5;

const density = (z: number): number => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);

/** Integral of Φ plus that of its mirror image: z (2Φ(z) − 1) + 2φ(z). */
const doubled = (z: number): number => z * (2 * normalCdf(z) - 1) + 2 * density(z);

/**
 * Coverage factor at 95 % of the sum of a rectangular and a normal quantity, where the rectangular one has `share` (0–1) of the variance.
 *
 * Solved by bisection on the closed form of the convolution, to 1e-10. At a share of 1 it is 0.95 √3 = 1.645, the 1.65 of EA-4/02 S9 (from
 * memory); at 0 the normal quantile, 1.960.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function rectangularCoverageFactor(share: number): number {
  requireInRange('share', share, 0, 1);
  if (share === 0) return COVERAGE_95;
  if (share === 1) return 0.95 * Math.sqrt(3);
  const half = Math.sqrt(3 * share);
  const sigma = Math.sqrt(1 - share);
  const within = (k: number): number =>
    (sigma / (2 * half)) * (doubled((k + half) / sigma) - doubled((k - half) / sigma));
  let [low, high] = [1, 3];
  while (high - low > 1e-11) {
    const middle = (low + high) / 2;
    if (within(middle) < 0.95) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Coverage of a result at 95 % where one rectangular input makes at least half of its variance, and the rest is taken as normal. Then the
 * factor of the normal distribution covers more than 95 %. Source and error: `rectangularCoverageFactor`.
 *
 * @returns undefined where no such input dominates, or where degrees of freedom limit the result: then the t factor stands
 */
export function dominantRectangular(found: Uncertain): DominantRectangular | undefined {
  if (found.standard === 0 || found.degreesOfFreedom !== null) return undefined;
  for (const line of found.budget) {
    const share = (line.contribution / found.standard) ** 2;
    const isAlone = found.budget.every((other) => other === line || other.origin !== line.origin);
    if (line.distribution !== 'rectangular' || line.correlated || !isAlone || share < DOMINANT_SHARE) continue;
    const coverageFactor = rectangularCoverageFactor(Math.min(1, share));
    return { name: line.name, coverageFactor, expanded: coverageFactor * found.standard };
  }
  return undefined;
}
