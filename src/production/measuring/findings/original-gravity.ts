import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { extractPlatoOf } from '../../../alcoholometry/strength/mass-balance-point.js';
import { MetrologyError } from '../../../metrology/problem.js';
import { COVERAGE_95 } from '../../../metrology/student.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { codeOfRule, fieldErrorOf } from '../../../platform/problems/to-problem.js';
import { momentText } from '../../../platform/words.js';
import { platoOf, shown } from '../readings/reading-doubts.js';
import type { CalibratedReading } from './calibrated-reading.js';
import { gravityOf } from './measured-gravity.js';

/** A reading in words: `1.0340 read on 5 October 2026 at 10:40 by hydrometer`. */
function readingWords({ value, unit, takenAt, instrumentKind }: CalibratedReading, timeZone: string): string {
  const by = instrumentKind === null ? '' : ` by ${instrumentKind.replaceAll('-', ' ')}`;
  return `${shown(value ?? NaN, unit as GravityScale)} read on ${momentText(takenAt, timeZone)}${by}`;
}

/** Rank of trust: what is calibrated and floats or weighs comes first, what has no known instrument last. */
function rank({ calibration, instrumentKind }: CalibratedReading): number {
  const isCalibrated = calibration?.state === 'valid';
  const floats = instrumentKind === 'hydrometer' || instrumentKind === 'density-meter';
  return isCalibrated ? (floats ? 0 : 1) : floats ? 2 : instrumentKind === null ? 4 : 3;
}

/** Extract with its standard uncertainty, °P. */
function extractOf(reading: CalibratedReading): { readonly plato: number; readonly u: number } {
  const gravity = gravityOf(reading, 'original gravity');
  const plato = extractPlatoOf(gravity);
  const inScale = Math.hypot(...(gravity.components ?? []).map(({ standardUncertainty }) => standardUncertainty));
  return { plato, u: Math.abs(extractPlatoOf({ ...gravity, value: gravity.value + inScale }) - plato) };
}

function disagree(a: CalibratedReading, b: CalibratedReading): boolean {
  const [one, other] = [extractOf(a), extractOf(b)];
  return Math.abs(one.plato - other.plato) > COVERAGE_95 * Math.hypot(one.u, other.u);
}

/** The original gravity that a finding takes, and a remark where another reading of it disagrees. */
export interface ChosenOriginal {
  readonly original: CalibratedReading | undefined;
  readonly originalDoubt?: string;
}

/**
 * The first of the readings of the original gravity, oldest first; where they disagree by more than their expanded uncertainty, the one whose
 * instrument is the most to be trusted.
 */
export function chosenOriginal(readings: readonly CalibratedReading[], timeZone: string): ChosenOriginal {
  const [first] = readings;
  const comparable = readings.filter(
    ({ value, unit }) =>
      value !== null && unit !== null && platoOf({ value, scale: unit as GravityScale }) !== undefined,
  );
  const best = [...comparable].sort((a, b) => rank(a) - rank(b)).at(0);
  const other = best && comparable.find((each) => each !== best && disagree(each, best));
  return best === undefined || other === undefined
    ? { original: first }
    : {
        original: best,
        originalDoubt: `Two readings of the original gravity differ by more than their uncertainty: ${readingWords(best, timeZone)}, and ${readingWords(other, timeZone)}. The former is taken.`,
      };
}

/** Computes a finding; a refusal of the two gravities names them. @throws ProblemException as the method */
export function namingReadings<Found>(
  {
    original,
    final,
    timeZone = 'UTC',
  }: {
    readonly original: CalibratedReading;
    readonly final: CalibratedReading;
    readonly timeZone: string | undefined;
  },
  compute: () => Found,
): Found {
  try {
    return compute();
  } catch (error) {
    if (!(error instanceof MetrologyError) || codeOfRule(error.rule) !== 'readings-disagree') {
      throw error;
    }
    const detail = `${error.message} The original gravity is ${readingWords(original, timeZone)}; the final gravity is ${readingWords(final, timeZone)}. Check both; correct the wrong one with POST /v1/readings/{id}/correction, or name others.`;
    throw new ProblemException('readings-disagree', detail, {
      errors: [{ ...fieldErrorOf(error), pointer: '/finalReadingId', detail }],
      members: { originalReadingId: original.id, finalReadingId: final.id },
    });
  }
}
