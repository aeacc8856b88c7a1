import { Temporal } from 'temporal-polyfill';
import { dayAt } from '../../ledger/periods/period-edges.js';

/** The day of the calendar at a place, as in 2026-03-01. Throws a RangeError for what is no IANA time zone. */
export const localDay = dayAt;

/** The day before, as in 2026-03-31. */
export const dayBefore = (day: string): string => Temporal.PlainDate.from(day).subtract({ days: 1 }).toString();

/** A day as a date column is read: midnight UTC. */
export const dayOf = (date: Date): string => date.toISOString().slice(0, 10);

/** A day as a date column is written. */
export const dateOf = (day: string): Date => new Date(`${day}T00:00:00.000Z`);
