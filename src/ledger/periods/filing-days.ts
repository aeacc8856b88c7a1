import { Temporal } from 'temporal-polyfill';
import type { DueRule, FilingCalendar } from '../../tenancy/producers/filing-calendar.dto.js';
import type { PeriodDays } from './period-days.js';
import { lastDayOf } from './period-days.js';
import { isWorkingDay } from './working-days.js';

/** Day on which a report is due, and day on which its duty is payable, as YYYY-MM-DD. */
export interface FilingDays {
  readonly dueOn: string;
  readonly payableOn: string;
}

function ruleDay({ kind, number = 1 }: DueRule, lastDay: Temporal.PlainDate): Temporal.PlainDate {
  if (kind === 'days-after-end') {
    return lastDay.add({ days: number });
  }
  const month = lastDay.add({ months: 1 });
  return month.with({ day: kind === 'last-day-of-following-month' ? month.daysInMonth : number });
}

function moved(day: Temporal.PlainDate, { workingDay, holidays = [] }: FilingCalendar): Temporal.PlainDate {
  if (workingDay === undefined) {
    return day;
  }
  const days = workingDay === 'next' ? 1 : -1;
  let at = day;
  while (!isWorkingDay(at, holidays)) {
    at = at.add({ days });
  }
  return at;
}

/** The days of a period by a calendar; undefined for a period that ends before the calendar begins. */
export function filingDays(period: PeriodDays, calendar: FilingCalendar): FilingDays | undefined {
  const last = lastDayOf(period);
  if (calendar.from !== undefined && last < calendar.from) {
    return undefined;
  }
  const lastDay = Temporal.PlainDate.from(last);
  const on = (rule: DueRule): string => moved(ruleDay(rule, lastDay), calendar).toString();
  return { dueOn: on(calendar.due), payableOn: on(calendar.payment ?? calendar.due) };
}

/** Last day on which the records of a period are kept at the least: so many years after its last day, 28 February for 29 February. */
export const keepUntil = (period: PeriodDays, retentionYears: number): string =>
  Temporal.PlainDate.from(lastDayOf(period)).add({ years: retentionYears }).toString();
