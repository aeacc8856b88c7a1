import { Temporal } from 'temporal-polyfill';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { dayText } from '../../platform/words.js';

/** The days of a period: the first one, and the day after the last one, as YYYY-MM-DD. */
export interface PeriodDays {
  readonly startsOn: string;
  readonly endsBefore: string;
}

/** One way of asking for a period: a month, a quarter, or its two days. */
export interface AskedDays {
  readonly month?: string;
  readonly quarter?: string;
  readonly startsOn?: string;
  readonly endsBefore?: string;
}

const MONTHS_A_QUARTER = 3;

const from = (startsOn: Temporal.PlainDate, months: number): PeriodDays => ({
  startsOn: startsOn.toString(),
  endsBefore: startsOn.add({ months }).toString(),
});

const malformed = (pointer: string, detail: string): ProblemException =>
  new ProblemException('validation-failed', detail, {
    errors: [{ pointer, rule: 'one-of-three', detail }],
  });

const ONE_WAY = 'Give `month`, or `quarter`, or `startsOn` with `endsBefore`.';

/** The days that were asked for. @throws ProblemException `validation-failed` unless it is asked for in exactly one way */
export function daysAsked({ month, quarter, startsOn, endsBefore }: AskedDays): PeriodDays {
  const dated = startsOn !== undefined || endsBefore !== undefined;
  if ([month !== undefined, quarter !== undefined, dated].filter(Boolean).length !== 1) {
    throw malformed('', ONE_WAY);
  }
  if (month !== undefined) {
    return from(Temporal.PlainDate.from(`${month}-01`), 1);
  }
  if (quarter !== undefined) {
    const [year, number] = quarter.split('-Q').map(Number);
    const first = Temporal.PlainDate.from({ year, month: (number - 1) * MONTHS_A_QUARTER + 1, day: 1 });
    return from(first, MONTHS_A_QUARTER);
  }
  if (startsOn === undefined || endsBefore === undefined) {
    throw malformed(startsOn === undefined ? '/startsOn' : '/endsBefore', ONE_WAY);
  }
  return { startsOn, endsBefore };
}

/** The last day inside. */
export const lastDayOf = ({ endsBefore }: PeriodDays): string =>
  Temporal.PlainDate.from(endsBefore).subtract({ days: 1 }).toString();

const spoken = (day: string): string => dayText(new Date(`${day}T00:00:00Z`), 'UTC');

/** The period in words, with its last day: `1 October 2026 to 31 October 2026, both days included`. */
export const inWords = (days: PeriodDays): string =>
  `${spoken(days.startsOn)} to ${spoken(lastDayOf(days))}, both days included`;

/**
 * The last day of a month that was given as `endsBefore`, so that it lies outside: seldom meant so. Undefined where nothing is doubtful.
 * `month` asks for the whole month where the period starts with it.
 */
export function monthEndOutside({ startsOn, endsBefore }: PeriodDays): string | undefined {
  const end = Temporal.PlainDate.from(endsBefore);
  if (end.day !== end.daysInMonth || end.day === 1) {
    return undefined;
  }
  const whole = endsBefore.slice(0, 7);
  const instead = startsOn === `${whole}-01` ? `give \`month: "${whole}"\`` : 'give the day after it';
  return `${spoken(endsBefore)} is outside: the last day inside is ${spoken(lastDayOf({ startsOn, endsBefore }))}. For a period with the whole month, withdraw this one and ${instead}.`;
}
