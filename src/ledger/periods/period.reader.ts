import { Injectable } from '@nestjs/common';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../generated/prisma/client.js';

/** A period of a premises; closed once it has a report. Days as YYYY-MM-DD. */
export interface PeriodRow {
  readonly id: string;
  readonly premisesId: string;
  readonly startsOn: string;
  readonly endsBefore: string;
  readonly startsAt: Date;
  readonly endsAt: Date;
  readonly timeZone: string;
  readonly reportId: string | null;
  /** SHA-256 of the frozen bytes, hexadecimal. */
  readonly reportHash: string | null;
  readonly reportHeadSequence: bigint | null;
  readonly closedAt: Date | null;
  /** An empty period that was taken back: it covers no moment. */
  readonly withdrawn: boolean;
  /** Filings of its report: the first and those that amend it. */
  readonly filings: number;
  /** Day of the latest one. */
  readonly filedOn: string | null;
  /** The last one of premises that were closed down. */
  readonly lastReport: boolean;
}

/** Not withdrawn. */
const STANDS = Prisma.sql`w.period_id IS NULL`;

/** @throws ProblemException `conflict` for a period that was withdrawn: it has no report and is not closed */
export function requireStanding(period: PeriodRow): PeriodRow {
  if (period.withdrawn) {
    throw new ProblemException('conflict', 'The period was withdrawn. Use the one that covers its days now.', {
      members: { period: period.id },
    });
  }
  return period;
}

/** Reads periods and frozen reports. A period that was withdrawn is read only by its id and in the list. */
@Injectable()
export class PeriodReader {
  /** One period, a withdrawn one too. */
  async row(tx: Tx, producerId: string, id: string): Promise<PeriodRow | undefined> {
    const rows = await this.#where(tx, producerId, Prisma.sql`p.id = ${id}::uuid`, Prisma.sql`p.id`, 1);
    return rows.at(0);
  }

  /** The period of a premises in which a moment lies. */
  async covering(tx: Tx, producerId: string, premisesId: string, at: Date): Promise<PeriodRow | undefined> {
    const condition = Prisma.sql`p.premises_id = ${premisesId}::uuid AND p.starts_at <= ${at}::timestamptz AND ${at}::timestamptz < p.ends_at AND ${STANDS}`;
    const rows = await this.#where(tx, producerId, condition, Prisma.sql`p.starts_at`, 1);
    return rows.at(0);
  }

  async last(tx: Tx, producerId: string, premisesId: string): Promise<PeriodRow | undefined> {
    const condition = Prisma.sql`p.premises_id = ${premisesId}::uuid AND ${STANDS}`;
    const rows = await this.#where(tx, producerId, condition, Prisma.sql`p.starts_at DESC`, 1);
    return rows.at(0);
  }

  /** The period that ends where this one starts. */
  async before(tx: Tx, producerId: string, period: PeriodRow): Promise<PeriodRow | undefined> {
    const condition = Prisma.sql`p.premises_id = ${period.premisesId}::uuid AND p.starts_at < ${period.startsAt}::timestamptz AND ${STANDS}`;
    const rows = await this.#where(tx, producerId, condition, Prisma.sql`p.starts_at DESC`, 1);
    return rows.at(0);
  }

  /** The closed periods of a premises before this one, oldest first. */
  closedBefore(tx: Tx, producerId: string, period: PeriodRow): Promise<PeriodRow[]> {
    const condition = Prisma.sql`p.premises_id = ${period.premisesId}::uuid AND p.starts_at < ${period.startsAt}::timestamptz AND r.id IS NOT NULL`;
    return this.#where(tx, producerId, condition, Prisma.sql`p.starts_at`, null);
  }

  /** After an id, for paging; of one premises if given. */
  page(
    tx: Tx,
    producerId: string,
    after: string | null,
    take: number,
    { premisesId = null, state = null }: { premisesId?: string | null; state?: string | null },
  ): Promise<PeriodRow[]> {
    const condition = Prisma.sql`(${after}::uuid IS NULL OR p.id > ${after}::uuid) AND (${premisesId}::uuid IS NULL OR p.premises_id = ${premisesId}::uuid)
      AND (${state}::text IS NULL OR ${state} = CASE WHEN NOT (${STANDS}) THEN 'withdrawn' WHEN r.id IS NULL THEN 'open' ELSE 'closed' END)`;
    return this.#where(tx, producerId, condition, Prisma.sql`p.id`, take);
  }

  /** The open periods of a premises up to one, that one with them, in their order. */
  openUntil(tx: Tx, producerId: string, last: PeriodRow): Promise<PeriodRow[]> {
    const condition = Prisma.sql`p.premises_id = ${last.premisesId}::uuid AND p.starts_at <= ${last.startsAt}::timestamptz AND r.id IS NULL AND ${STANDS}`;
    return this.#where(tx, producerId, condition, Prisma.sql`p.starts_at`, null);
  }

  /** Those of the periods in which anything was entered: an operation of the premises, or a posting on one of its accounts. */
  async used(tx: Tx, producerId: string, periods: readonly PeriodRow[]): Promise<Set<string>> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT d.id FROM period d
       WHERE d.producer_id = ${producerId}::uuid AND d.id = ANY (${periods.map(({ id }) => id)}::uuid[]) AND period_is_used(d)`;
    return new Set(rows.map(({ id }) => id));
  }

  /** Every period that has a day in the span, by premises and time. */
  touching(tx: Tx, producerId: string, startsOn: string, endsBefore: string): Promise<PeriodRow[]> {
    const condition = Prisma.sql`p.starts_on < ${endsBefore}::date AND p.ends_before > ${startsOn}::date AND ${STANDS}`;
    return this.#where(tx, producerId, condition, Prisma.sql`p.premises_id, p.starts_at`, null);
  }

  /** Frozen documents of closed periods without what stands at these places: what grows with the books is left where it is. */
  async reportParts(
    tx: Tx,
    producerId: string,
    periodIds: readonly string[],
    without: readonly (readonly string[])[],
  ): Promise<Map<string, unknown>> {
    const less = without.map((path) => Prisma.sql`#- ${[...path]}::text[]`);
    const rows = await tx.$queryRaw<{ id: string; document: unknown }[]>`
      SELECT period_id AS id, bytes::jsonb ${Prisma.join(less, ' ')} AS document
        FROM report WHERE producer_id = ${producerId}::uuid AND period_id = ANY (${[...periodIds]}::uuid[])`;
    return new Map(rows.map(({ id, document }) => [id, document]));
  }

  /** One value of the frozen documents of closed periods, by its place. */
  async reportValues(
    tx: Tx,
    producerId: string,
    periodIds: readonly string[],
    place: readonly string[],
  ): Promise<Map<string, unknown>> {
    const rows = await tx.$queryRaw<{ id: string; value: unknown }[]>`
      SELECT period_id AS id, bytes::jsonb #> ${[...place]}::text[] AS value
        FROM report WHERE producer_id = ${producerId}::uuid AND period_id = ANY (${[...periodIds]}::uuid[])`;
    return new Map(rows.map(({ id, value }) => [id, value]));
  }

  /** The frozen bytes of a closed period. */
  async reportBytes(tx: Tx, producerId: string, periodId: string): Promise<string | undefined> {
    const rows = await tx.$queryRaw<{ bytes: string }[]>`
      SELECT bytes FROM report WHERE producer_id = ${producerId}::uuid AND period_id = ${periodId}::uuid`;
    return rows.at(0)?.bytes;
  }

  #where(
    tx: Tx,
    producerId: string,
    condition: Prisma.Sql,
    order: Prisma.Sql,
    take: number | null,
  ): Promise<PeriodRow[]> {
    return tx.$queryRaw<PeriodRow[]>`
      SELECT p.id, p.premises_id AS "premisesId", p.starts_on::text AS "startsOn", p.ends_before::text AS "endsBefore", p.starts_at AS "startsAt",
             p.ends_at AS "endsAt", p.time_zone AS "timeZone", r.id AS "reportId", encode(r.hash, 'hex') AS "reportHash",
             r.head_sequence AS "reportHeadSequence", r.recorded_at AS "closedAt",
             w.period_id IS NOT NULL AS withdrawn, f.filings, f.filed_on AS "filedOn",
             coalesce(s.closing_down ->> 'lastPeriodId' = p.id::text, false) AS "lastReport"
        FROM period p JOIN premises s ON s.producer_id = p.producer_id AND s.id = p.premises_id LEFT JOIN report r ON r.producer_id = p.producer_id AND r.period_id = p.id
        LEFT JOIN period_withdrawal w ON w.producer_id = p.producer_id AND w.period_id = p.id
        CROSS JOIN LATERAL (SELECT count(*)::int AS filings, (array_agg(x.filed_on ORDER BY x.id DESC))[1]::text AS filed_on
                              FROM filing x WHERE x.producer_id = p.producer_id AND x.period_id = p.id) f
       WHERE p.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY ${order} LIMIT ${take}`;
  }
}
