import { Temporal } from 'temporal-polyfill';

const SATURDAY = 6;

/** True for a day that is no Saturday, no Sunday and no holiday. @param day YYYY-MM-DD. @param holidays the same */
export const isWorkingDay = (day: Temporal.PlainDate, holidays: readonly string[]): boolean =>
  day.dayOfWeek < SATURDAY && !holidays.includes(day.toString());

/**
 * Working days after a day, up to and including another: the next business day is 1, the same day 0.
 *
 * @param from day of the event. @param to day of the entry, both YYYY-MM-DD in local time; 0 where it is not later
 */
export function workingDaysAfter(from: string, to: string, holidays: readonly string[]): number {
  const last = Temporal.PlainDate.from(to);
  let count = 0;
  let day = Temporal.PlainDate.from(from).add({ days: 1 });
  while (Temporal.PlainDate.compare(day, last) <= 0) {
    count += isWorkingDay(day, holidays) ? 1 : 0;
    day = day.add({ days: 1 });
  }
  return count;
}
