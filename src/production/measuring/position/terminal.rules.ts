import { toExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { MetrologyError } from '../../../metrology/problem.js';

/** A gravity as read, with its time. */
export interface WatchedGravity {
  readonly value: number;
  readonly scale: string;
  readonly takenAt: Date;
}

/** Change of gravity that counts as none: 1 point of specific gravity is 0.25 °P, the graduation of a usual hydrometer (common practice, no source). */
const STILL_PLATO = 0.26;
/** Fall since the first reading below which fermentation has hardly begun, °P: a lag is no terminal gravity. */
const BEGUN_PLATO = 1;
const HOUR_MS = 3_600_000;

function platoOf({ value, scale }: WatchedGravity): number | undefined {
  try {
    return toExtract({ value, scale: scale as GravityScale }).extractPlato;
  } catch (error) {
    if (error instanceof MetrologyError) {
      return undefined;
    }
    throw error;
  }
}

/**
 * True where the gravity stands still: all readings of the last `stillForHours` before the latest, and one at least that long before it, lie within a point of
 * each other, and the gravity has fallen since the first reading. A gravity that stands still for two days is common practice, no source.
 *
 * @param gravities in any order, as read; those outside the range of the scales are left out
 */
export function isTerminal(gravities: readonly WatchedGravity[], stillForHours: number): boolean {
  const known = gravities
    .flatMap((each) => {
      const plato = platoOf(each);
      return plato === undefined ? [] : [{ plato, at: each.takenAt.getTime() }];
    })
    .sort((a, b) => a.at - b.at);
  const latest = known.at(-1);
  if (latest === undefined || known[0].plato - latest.plato < BEGUN_PLATO) {
    return false;
  }
  const before = known.findLastIndex(({ at }) => latest.at - at >= stillForHours * HOUR_MS);
  if (before < 0) {
    return false;
  }
  const platos = known.slice(before).map(({ plato }) => plato);
  return Math.max(...platos) - Math.min(...platos) <= STILL_PLATO;
}
