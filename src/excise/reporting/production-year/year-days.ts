import { Temporal } from 'temporal-polyfill';

/** A span of whole months. */
export interface YearDays {
  /** Year in which it begins. */
  readonly year: number;
  readonly startsOn: string;
  readonly endsBefore: string;
}

const JANUARY = 1;
const MONTHS = 12;

const from = (first: Temporal.PlainDate): YearDays => ({
  year: first.year,
  startsOn: first.toString(),
  endsBefore: first.add({ years: 1 }).toString(),
});

const monthOf = (now: Date): Temporal.PlainDate =>
  Temporal.PlainDate.from(now.toISOString().slice(0, 10)).with({ day: 1 });

/** The production year that begins in a year, or the one in which a moment lies (by UTC), by the month with which it begins. */
export function yearDays(asked: number | undefined, firstMonth = JANUARY, now: Date): YearDays {
  if (asked !== undefined) {
    return from(Temporal.PlainDate.from({ year: asked, month: firstMonth, day: 1 }));
  }
  const month = monthOf(now);
  const first = month.with({ month: firstMonth });
  return from(Temporal.PlainDate.compare(first, month) > 0 ? first.subtract({ years: 1 }) : first);
}

/** The twelve whole months before the one in which a moment lies. */
export const lastMonths = (now: Date): YearDays => from(monthOf(now).subtract({ months: MONTHS }));

/** First days of the months of a span. */
export const monthsOf = ({ startsOn }: YearDays): string[] =>
  Array.from({ length: MONTHS }, (_, index) => Temporal.PlainDate.from(startsOn).add({ months: index }).toString());
