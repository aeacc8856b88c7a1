import { Prisma } from '../../generated/prisma/client.js';
import type { DayFilter } from '../pagination.js';

/** Condition that a moment lies in the days of a filter. @param zone SQL text of the time zone that the days are those of */
export const inDays = (
  moment: Prisma.Sql,
  zone: Prisma.Sql,
  { from = null, before = null }: { [K in keyof DayFilter]?: DayFilter[K] | null },
): Prisma.Sql =>
  Prisma.sql`(${from}::date IS NULL OR ${moment} >= ${from}::date::timestamp AT TIME ZONE ${zone})
    AND (${before}::date IS NULL OR ${moment} < ${before}::date::timestamp AT TIME ZONE ${zone})`;

/** Condition that a written name is the requested one, in capital or small letters. */
export const isNamed = (column: Prisma.Sql, name: string | undefined): Prisma.Sql =>
  name === undefined ? Prisma.sql`true` : Prisma.sql`lower(${column}) = lower(${name})`;
