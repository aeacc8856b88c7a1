import { MetrologyError, requireCount, requireInRange } from './problem.js';

/** ISO 4120 (triangle: which of three is the odd one) and ISO 5495 (paired comparison: which of two has more of something). */
export const SENSORY_METHODS = ['triangle', 'paired'] as const;
export type SensoryMethod = (typeof SENSORY_METHODS)[number];

/** Probability of the answer by chance alone. */
const CHANCE: Readonly<Record<SensoryMethod, number>> = { triangle: 1 / 3, paired: 1 / 2 };

const MOST_ANSWERS = 1000;

interface SensoryInput {
  readonly method: SensoryMethod;
  /** 2 only for the paired comparison, where it is not known beforehand which drink would be chosen. */
  readonly sides: 1 | 2;
  /** 1 to 1000. */
  readonly answers: number;
  /** Right answers; in a paired comparison the choices of the first drink. */
  readonly chosen: number;
  /** Accepted probability of a difference shown by chance, 0.001 to 0.5. */
  readonly significance: number;
}

interface SensoryResult {
  /** Probability of so many answers, or of more, where there is no difference. */
  readonly pValue: number;
  readonly isDifferent: boolean;
  /** Least number that shows a difference; null where the answers are too few for any. */
  readonly leastNumber: number | null;
}

/**
 * Probability of `least` or more successes in `count` independent trials of probability p: the exact binomial sum.
 *
 * Range: 0 to 1000 trials, p 0.001 to 0.999. Error 1e-12 relative for the probabilities of the sensory tests.
 * @throws MetrologyError `out-of-range`, `not-whole`, `too-few`, `too-many`, `not-finite`
 */
export function binomialUpperTail(count: number, least: number, p: number): number {
  requireCount('count', count, 0, MOST_ANSWERS);
  requireInRange('p', p, 0.001, 0.999);
  if (least <= 0) return 1;
  // The recurrence starts at the natural logarithm of the first term: (1 − p)^count alone may be too small for a double.
  let term = count * Math.log1p(-p);
  let sum = 0;
  for (let k = 0; k <= count; k += 1) {
    if (k >= least) sum += Math.exp(term);
    if (k < count) term += Math.log(((count - k) / (k + 1)) * (p / (1 - p)));
  }
  return Math.min(1, sum);
}

/**
 * Exact binomial test of a triangle test or a paired comparison.
 *
 * Source: ISO 4120 (p = 1/3, one-sided), ISO 5495 (p = 1/2, one- or two-sided; two-sided is twice the tail of the larger number).
 * @throws MetrologyError `contradictory` for a two-sided triangle test; `too-many` for more choices than answers; ranges as above
 */
export function sensoryTest({ method, sides, answers, chosen, significance }: SensoryInput): SensoryResult {
  requireCount('answers', answers, 1, MOST_ANSWERS);
  requireCount('chosen', chosen, 0, answers);
  requireInRange('significance', significance, 0.001, 0.5);
  if (method === 'triangle' && sides === 2) {
    throw new MetrologyError(
      'contradictory',
      'A triangle test is one-sided: only more right answers than by chance show a difference.',
      {
        pointer: 'sides',
      },
    );
  }
  const tail = (number: number): number => Math.min(1, sides * binomialUpperTail(answers, number, CHANCE[method]));
  const pValue = tail(sides === 2 ? Math.max(chosen, answers - chosen) : chosen);
  // Two-sided, numbers up to half of the answers are never the larger one.
  let least = sides === 2 ? Math.ceil(answers / 2) : 0;
  while (least <= answers && tail(least) > significance) least += 1;
  return { pValue, isDifferent: pValue <= significance, leastNumber: least > answers ? null : least };
}
