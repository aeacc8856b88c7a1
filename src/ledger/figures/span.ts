import { Prisma } from '../../generated/prisma/client.js';

/** Part of the books: one premises, from a moment up to another, half-open. */
export interface Span {
  readonly premisesId: string;
  readonly startsAt: Date;
  readonly endsAt: Date;
  /** The first period of the premises begins it: opening stock that is entered in it was there before. */
  readonly isFirst?: boolean;
}

/** A premises at a moment: what was posted before it counts. */
export interface PremisesMoment {
  readonly premisesId: string;
  readonly at: Date;
  /** Opening stock that was entered before this moment counts as well. */
  readonly openingsBefore?: Date;
}

const instants = (dates: readonly Date[]): string[] => dates.map((date) => date.toISOString());

/** The spans as a table `span(premises_id, starts_at, ends_at, is_first)`: a premises stands in it once at the most. */
export const spanTable = (spans: readonly Span[]): Prisma.Sql =>
  Prisma.sql`unnest(${spans.map(({ premisesId }) => premisesId)}::uuid[], ${instants(spans.map(({ startsAt }) => startsAt))}::timestamptz[],
    ${instants(spans.map(({ endsAt }) => endsAt))}::timestamptz[], ${spans.map(({ isFirst = false }) => isFirst)}::boolean[])
    AS span(premises_id, starts_at, ends_at, is_first)`;

/** Condition on an operation `o`, what it reverses `r` and a `span`: opening stock of a first period. */
export const openingStock = Prisma.sql`(span.is_first AND coalesce(r.kind, o.kind) = 'opening')`;

/** The moments as a table `moment(premises_id, at, openings_before)`: a premises stands in it once at the most. */
export const momentTable = (moments: readonly PremisesMoment[]): Prisma.Sql =>
  Prisma.sql`unnest(${moments.map(({ premisesId }) => premisesId)}::uuid[], ${instants(moments.map(({ at }) => at))}::timestamptz[],
    ${instants(moments.map(({ at, openingsBefore = at }) => openingsBefore))}::timestamptz[]) AS moment(premises_id, at, openings_before)`;

/** Condition on a posting `p` and a `moment`: it counts in what stood then. */
export const stoodAt = Prisma.sql`(p.occurred_at < moment.at OR (p.occurred_at < moment.openings_before AND EXISTS (
  SELECT 1 FROM operation o LEFT JOIN operation r ON r.producer_id = o.producer_id AND r.id = o.reverses
   WHERE o.producer_id = p.producer_id AND o.sequence = p.operation_sequence AND coalesce(r.kind, o.kind) = 'opening')))`;
