import { Prisma } from '../../generated/prisma/client.js';

/** Part of the books: one premises, from a moment up to another, half-open. */
export interface Span {
  readonly premisesId: string;
  readonly startsAt: Date;
  readonly endsAt: Date;
}

/** A premises at a moment: what was posted before it counts. */
export interface PremisesMoment {
  readonly premisesId: string;
  readonly at: Date;
}

const instants = (dates: readonly Date[]): string[] => dates.map((date) => date.toISOString());

/** The spans as a table `span(premises_id, starts_at, ends_at)`: a premises stands in it once at the most. */
export const spanTable = (spans: readonly Span[]): Prisma.Sql =>
  Prisma.sql`unnest(${spans.map(({ premisesId }) => premisesId)}::uuid[], ${instants(spans.map(({ startsAt }) => startsAt))}::timestamptz[],
    ${instants(spans.map(({ endsAt }) => endsAt))}::timestamptz[]) AS span(premises_id, starts_at, ends_at)`;

/** The moments as a table `moment(premises_id, at)`: a premises stands in it once at the most. */
export const momentTable = (moments: readonly PremisesMoment[]): Prisma.Sql =>
  Prisma.sql`unnest(${moments.map(({ premisesId }) => premisesId)}::uuid[], ${instants(moments.map(({ at }) => at))}::timestamptz[])
    AS moment(premises_id, at)`;
