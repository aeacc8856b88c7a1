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
}

/** Reads how the operations of a period were entered and by which methods their strengths were found. */
@Injectable()
export class EntryReader {
  /** Entered more than so many hours after the event, in the order of the books. */
  late(tx: Tx, producerId: string, span: Span, afterHours: number): Promise<LateEntryRow[]> {
    return tx.$queryRaw<LateEntryRow[]>`
      SELECT o.id AS "operationId", o.sequence::int AS sequence, o.kind, o.occurred_at AS "occurredAt", o.recorded_at AS "recordedAt"
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
