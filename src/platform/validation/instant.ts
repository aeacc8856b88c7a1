import type { Rule } from './rule.js';
import { finding, wrongType } from './rule.js';

/** The first and the last year that a time or a date may lie in. */
const EARLIEST_YEAR = 1900;
const LATEST_YEAR = 2200;

const INSTANT = /^(\d{4})-(\d{2})-(\d{2})T(\d{2}):(\d{2}):(\d{2})(?:\.\d{1,3})?(Z|([+-])(\d{2}):(\d{2}))$/;
const DATE = /^(\d{4})-(\d{2})-(\d{2})$/;
const WIDEST_OFFSET_MINUTES = 14 * 60;

const WINDOW = `from ${EARLIEST_YEAR} to ${LATEST_YEAR}`;

function isRealDate(year: number, month: number, day: number): boolean {
  const date = new Date(Date.UTC(2000, 0, 1));
  date.setUTCFullYear(year, month - 1, day);
  return date.getUTCFullYear() === year && date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
}

const isInWindow = (year: number): boolean => year >= EARLIEST_YEAR && year <= LATEST_YEAR;

type Fault = 'form' | 'offset-missing' | 'not-a-date' | 'not-a-time' | 'leap-second' | 'outside-window';

const FAULTS: Readonly<Record<Fault, string>> = {
  form: 'This has to be a time as in 2026-03-01T14:30:00+01:00, with at most milliseconds.',
  'offset-missing': 'The time needs its offset from UTC, as in +01:00 or Z.',
  'not-a-date': 'There is no such day in the calendar.',
  'not-a-time': 'There is no such time of day, or no such offset.',
  'leap-second': 'A leap second cannot be kept; give the second before it.',
  'outside-window': `The year has to lie ${WINDOW}.`,
};

function dateFault(year: number, month: number, day: number): Fault | undefined {
  if (!isRealDate(year, month, day)) {
    return 'not-a-date';
  }
  return isInWindow(year) ? undefined : 'outside-window';
}

function instantFault(text: string): Fault | undefined {
  const match = INSTANT.exec(text);
  if (match === null) {
    return INSTANT.test(`${text}Z`) ? 'offset-missing' : 'form';
  }
  const [year, month, day, hour, minute, second] = match.slice(1, 7).map(Number);
  const fault = dateFault(year, month, day);
  if (fault !== undefined) {
    return fault;
  }
  if (second === 60) {
    return 'leap-second';
  }
  const [offsetHour, offsetMinute] = match.slice(9, 11).map((part) => Number(part ?? 0));
  const isOffset = offsetMinute < 60 && offsetHour * 60 + offsetMinute <= WIDEST_OFFSET_MINUTES;
  return hour < 24 && minute < 60 && second < 60 && isOffset ? undefined : 'not-a-time';
}

/** A moment in time: RFC 3339 with offset, a real day, to the millisecond. */
export const instantRule: Rule = {
  schema: { type: 'string', format: 'date-time', minLength: 20, maxLength: 29 },
  check: (value) => {
    if (typeof value !== 'string') {
      return [wrongType(value, 'a time with its offset')];
    }
    const fault = instantFault(value);
    return fault === undefined ? [] : [finding(fault, FAULTS[fault])];
  },
};

/** A day of the calendar, without time or zone. */
export const dateRule: Rule = {
  schema: { type: 'string', format: 'date', minLength: 10, maxLength: 10 },
  check: (value) => {
    if (typeof value !== 'string') {
      return [wrongType(value, 'a date as in 2026-03-01')];
    }
    const match = DATE.exec(value);
    if (match === null) {
      return [finding('form', 'This has to be a date as in 2026-03-01.')];
    }
    const [year, month, day] = match.slice(1).map(Number);
    const fault = dateFault(year, month, day);
    return fault === undefined ? [] : [finding(fault, FAULTS[fault])];
  },
};

/** The moment that a checked text stands for. Throws a RangeError for a text that `instantRule` refuses. */
export function parseInstant(text: string): Date {
  const fault = instantFault(text);
  if (fault !== undefined) {
    throw new RangeError(FAULTS[fault]);
  }
  return new Date(text);
}
