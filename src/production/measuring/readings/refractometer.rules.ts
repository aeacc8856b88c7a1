import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Gravity } from '../../../alcoholometry/liquids/gravity-scales.js';
import { platoOf } from './reading-doubts.js';
import type { ReadingFacts } from './reading-flags.js';
import type { ReadingSurroundings } from './reading-surroundings.reader.js';

/** A fall beyond what two readings of one wort differ by; common practice, no source. */
const FALLEN_PLATO = 0.5;

/**
 * Refuses a gravity by refractometer once fermentation can have begun: it shows sugar in water, and alcohol refracts as well.
 *
 * @throws ProblemException `method-not-applicable`
 */
export function requireReadable(
  gravity: Gravity | undefined,
  instrument: ReadingFacts['instrument'],
  { earlier, isFermenting }: Pick<ReadingSurroundings, 'earlier' | 'isFermenting'>,
  pointer: string,
): void {
  if (gravity === undefined || instrument?.kind !== 'refractometer') {
    return;
  }
  const now = platoOf(gravity) ?? Infinity;
  const hasFallen = earlier.some((each) => (platoOf(each) ?? -Infinity) - now > FALLEN_PLATO);
  if (isFermenting || hasFallen) {
    throw refractometerRefusal(
      pointer,
      hasFallen
        ? 'An earlier gravity of the lot is higher, so it ferments.'
        : 'Yeast is in, or the books hold alcohol of the lot.',
    );
  }
}

export const refractometerRefusal = (pointer: string, reason: string): ProblemException =>
  new ProblemException(
    'method-not-applicable',
    'A refractometer cannot read a gravity once yeast is in: alcohol refracts light as sugar does, so the reading is too high.',
    {
      errors: [
        {
          pointer,
          rule: 'refractometer-after-yeast',
          detail: `${reason} Read the gravity with a hydrometer or a density meter; a refractometer is right for the original gravity only.`,
        },
      ],
    },
  );
