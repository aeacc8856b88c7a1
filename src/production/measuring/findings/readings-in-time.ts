import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { momentText } from '../../../platform/words.js';
import type { BasisReading } from '../position/gravity-readings.js';

/** True if a reading was taken after the moment of the finding; never where no moment was given, which means now. */
export const isAfter = (takenAt: Date, moment: Date | undefined): boolean => moment !== undefined && takenAt > moment;

/** Refuses a named reading that was taken after the moment of the finding. @throws ProblemException `conflict` */
export function requireBy(
  moment: Date | undefined,
  { takenAt }: BasisReading,
  pointer: string,
  timeZone: string,
): void {
  if (moment === undefined || !isAfter(takenAt, moment)) {
    return;
  }
  const detail = `The reading was taken on ${momentText(takenAt, timeZone)}, after the moment of the finding, ${momentText(moment, timeZone)}. Give a later occurredAt, or name an earlier reading.`;
  throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'reading-after-finding', detail }] });
}

/** Reason why readings of the lot do not count for a finding, for the refusal where too few remain. */
export function notCountedWords(
  all: readonly BasisReading[],
  inTime: readonly BasisReading[],
  counted: readonly BasisReading[],
): string | undefined {
  const needs = 'The finding needs an original and a final gravity.';
  if (inTime.length < all.length) {
    return `${needs} Only gravities that were taken up to its moment count: give a later occurredAt, or enter the gravity of that time.`;
  }
  return counted.length < inTime.length
    ? `${needs} A gravity that was taken more than a day before the charge does not count by itself: name it in originalReadingId, or correct its time.`
    : undefined;
}
