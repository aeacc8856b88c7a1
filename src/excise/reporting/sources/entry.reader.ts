import { Injectable } from '@nestjs/common';
import type { Span } from '../../../ledger/figures/span.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { NamedVersion } from '../documents/report-head.dto.js';

/** An operation that was entered long after the event. */
export interface LateEntryRow {
  readonly operationId: string;
  readonly sequence: number;
  readonly kind: string;
  readonly occurredAt: Date;
  readonly recordedAt: Date;
  readonly personId: string | null;
  readonly keyId: string;
}

/** Operations by the local days of event and entry, YYYY-MM-DD. */
export interface EntryDaysRow {
  readonly occurredOn: string;
  readonly recordedOn: string;
  readonly entries: number;
}

/** An operation that a correction puts right, as it stood: its effect on stock, decimals as texts. */
export interface CorrectedRow {
  readonly operationId: string;
  readonly kind: string;
  readonly occurredAt: Date;
  readonly recordedAt: Date;
  readonly personId: string | null;
  readonly litres: string;
  readonly lpa: string;
}

/** A closed period with its report. */
export interface DeclaredRow {
  readonly periodId: string;
  readonly startsOn: string;
  readonly endsBefore: string;
  readonly reportHash: string;
}

/** Reads how the operations of a period were entered and by which methods their strengths were found. */
@Injectable()
export class EntryReader {
  /** Entered more than so many hours after the event, in the order of the books. */
  late(tx: Tx, producerId: string, span: Span, afterHours: number): Promise<LateEntryRow[]> {
    return tx.$queryRaw<LateEntryRow[]>`
      SELECT o.id AS "operationId", o.sequence::int AS sequence, o.kind, o.occurred_at AS "occurredAt", o.recorded_at AS "recordedAt",
             o.person_id AS "personId", o.key_id AS "keyId"
        FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${span.premisesId}::uuid
         AND o.occurred_at >= ${span.startsAt}::timestamptz AND o.occurred_at < ${span.endsAt}::timestamptz
         AND o.recorded_at > o.occurred_at + make_interval(hours => ${afterHours}::int)
       ORDER BY o.sequence`;
  }

  /** Products that the stock-takes of a span counted, those that agreed with the books among them. */
  async productsCounted(tx: Tx, producerId: string, span: Span): Promise<number> {
    const [{ count }] = await tx.$queryRaw<{ count: number }[]>`
      SELECT count(*)::int AS count FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${span.premisesId}::uuid AND o.kind = 'count'
         AND o.occurred_at >= ${span.startsAt}::timestamptz AND o.occurred_at < ${span.endsAt}::timestamptz
         AND NOT is_reversed(o.producer_id, o.id)`;
    return count;
  }

  /** Number of operations by the local days of event and entry. */
  days(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: Span, timeZone: string): Promise<EntryDaysRow[]> {
    return tx.$queryRaw<EntryDaysRow[]>`
      SELECT (o.occurred_at AT TIME ZONE ${timeZone}::text)::date::text AS "occurredOn",
             (o.recorded_at AT TIME ZONE ${timeZone}::text)::date::text AS "recordedOn", count(*)::int AS entries
        FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${premisesId}::uuid
         AND o.occurred_at >= ${startsAt}::timestamptz AND o.occurred_at < ${endsAt}::timestamptz
       GROUP BY 1, 2 ORDER BY 1, 2`;
  }

  /** Operations as they were entered, with their effect on stock. */
  asEntered(tx: Tx, producerId: string, ids: readonly string[]): Promise<CorrectedRow[]> {
    return tx.$queryRaw<CorrectedRow[]>`
      SELECT o.id AS "operationId", o.kind, o.occurred_at AS "occurredAt", o.recorded_at AS "recordedAt", o.person_id AS "personId",
             coalesce(sum(p.litres), 0)::text AS litres, coalesce(sum(p.lpa_fermented + p.lpa_added), 0)::text AS lpa
        FROM operation o
        LEFT JOIN (posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'stock')
          ON p.producer_id = o.producer_id AND p.operation_sequence = o.sequence
       WHERE o.producer_id = ${producerId}::uuid AND o.id = ANY (${[...ids]}::uuid[])
       GROUP BY o.id, o.kind, o.occurred_at, o.recorded_at, o.person_id, o.sequence ORDER BY o.sequence`;
  }

  /** Closed periods with the hash of their report. */
  declared(tx: Tx, producerId: string, periodIds: readonly string[]): Promise<DeclaredRow[]> {
    return tx.$queryRaw<DeclaredRow[]>`
      SELECT p.id AS "periodId", p.starts_on::text AS "startsOn", p.ends_before::text AS "endsBefore", encode(r.hash, 'hex') AS "reportHash"
        FROM period p JOIN report r ON r.producer_id = p.producer_id AND r.period_id = p.id
       WHERE p.producer_id = ${producerId}::uuid AND p.id = ANY (${[...periodIds]}::uuid[])`;
  }

  /** Methods by which the strengths were found of what was posted in the span. */
  methods(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: Span): Promise<NamedVersion[]> {
    return tx.$queryRaw<NamedVersion[]>`
      SELECT DISTINCT f.method_id COLLATE "C" AS id, f.method_version COLLATE "C" AS version
        FROM operation o
        JOIN posting p ON p.producer_id = o.producer_id AND p.operation_sequence = o.sequence
        JOIN finding f ON f.producer_id = p.producer_id AND f.composition_id = p.composition_id
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${premisesId}::uuid
         AND o.occurred_at >= ${startsAt}::timestamptz AND o.occurred_at < ${endsAt}::timestamptz AND f.sampled_at < ${endsAt}::timestamptz
       ORDER BY 1, 2`;
  }
}
