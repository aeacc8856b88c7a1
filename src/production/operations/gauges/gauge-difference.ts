import type { Decimal } from '../../../metrology/decimals.js';
import { COVERAGE_95 } from '../../../metrology/student.js';
import { groupedNumber } from '../../../platform/words.js';

/** A gauge beside the books of its moment, litres at 20 °C. */
export interface GaugedVolume {
  readonly bookLitres: Decimal;
  readonly foundLitres: Decimal;
  /** Of the litres found. */
  readonly standardUncertaintyL: number;
}

/** Largest difference that needs no reason: the larger of the gauge's own U and the producer's share of the book figure. */
export const usualDifferenceL = ({ bookLitres, standardUncertaintyL }: GaugedVolume, usualPercent: number): number =>
  Math.max(COVERAGE_95 * standardUncertaintyL, (bookLitres.toNumber() * usualPercent) / 100);

/** True where a gauge differs from the books, in either direction, by more than needs no reason. */
export const isUnusual = (gauged: GaugedVolume, usualPercent: number): boolean =>
  gauged.foundLitres.minus(gauged.bookLitres).abs().toNumber() > usualDifferenceL(gauged, usualPercent);

const shown = (litres: number): string => `${groupedNumber(Number(litres.toFixed(2)))} L`;

/** Sentence about a gauge that is too far from the books: both figures and the limit. */
export const differenceWords = (gauged: GaugedVolume, usualPercent: number): string =>
  `The books have ${shown(gauged.bookLitres.toNumber())} in the vessel, and ${shown(gauged.foundLitres.toNumber())} were measured; up to ${shown(usualDifferenceL(gauged, usualPercent))} of difference needs no reason.`;
