import { Temporal } from 'temporal-polyfill';

export interface PeriodEdges {
  readonly startsAt: Date;
  readonly endsAt: Date;
}

/** The first moment of a day at a place; where midnight is skipped by a change of clocks, the moment after the gap. RangeError for no IANA zone. */
export const startOfDay = (day: string, timeZone: string): Date =>
  new Date(Temporal.PlainDate.from(day).toZonedDateTime({ timeZone }).epochMilliseconds);

/** The moments of a period of local days, half-open: every moment lies in exactly one of periods that follow one another. */
export const periodEdges = (startsOn: string, endsBefore: string, timeZone: string): PeriodEdges => ({
  startsAt: startOfDay(startsOn, timeZone),
  endsAt: startOfDay(endsBefore, timeZone),
});

/** The last day on which a period that starts on a day may end before: a year later. */
export const latestEnd = (startsOn: string): string => Temporal.PlainDate.from(startsOn).add({ years: 1 }).toString();

/** The day of the calendar at a place, as in 2026-03-01. */
export const dayAt = (instant: Date, timeZone: string): string =>
  Temporal.Instant.fromEpochMilliseconds(instant.getTime()).toZonedDateTimeISO(timeZone).toPlainDate().toString();
