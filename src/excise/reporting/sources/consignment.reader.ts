import { Injectable } from '@nestjs/common';
import type { Span } from '../../../ledger/figures/span.js';
import { momentTable, spanTable } from '../../../ledger/figures/span.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** Consignments from one of the premises to another in a span, with the goods in transit at both ends. Decimals as texts. */
export interface ConsignmentRow {
  readonly fromPremisesId: string;
  readonly toPremisesId: string;
  readonly part: 'on-the-way-at-start' | 'sent' | 'changed' | 'received' | 'lost' | 'on-the-way-at-end';
  readonly litres: string;
  readonly fermented: string;
  readonly added: string;
}

/** Sums the consignments between premises, set-based. */
@Injectable()
export class ConsignmentReader {
  /**
   * From the sender's in-transit accounts (what was sent, what was on the way, what was found to be stronger or weaker meanwhile), the receiver's
   * stock (what was received) and the lines of both (what was lost); a reversal counts with what it reverses. Each leg counts in the span of the premises whose account it stands on.
   */
  sums(tx: Tx, producerId: string, spans: readonly Span[]): Promise<ConsignmentRow[]> {
    const starts = spans.map(({ premisesId, startsAt }) => ({ premisesId, at: startsAt }));
    const ends = spans.map(({ premisesId, endsAt }) => ({ premisesId, at: endsAt }));
    return tx.$queryRaw<ConsignmentRow[]>`
      WITH held AS (
        SELECT a.id, a.premises_id, t.operation_id AS consignment, t.from_premises_id, t.to_premises_id
          FROM transit t JOIN account a ON a.producer_id = t.producer_id AND a.transit_id = t.operation_id
         WHERE t.producer_id = ${producerId}::uuid),
      held_line AS (
        SELECT h.*, p.operation_sequence, p.occurred_at, p.litres, p.lpa_fermented AS f, p.lpa_added AS a, coalesce(r.kind, o.kind) AS work
          FROM held h JOIN posting p ON p.producer_id = ${producerId}::uuid AND p.account_id = h.id
          JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
          LEFT JOIN operation r ON r.producer_id = o.producer_id AND r.id = o.reverses),
      arrival AS (SELECT DISTINCT operation_sequence, from_premises_id, to_premises_id FROM held_line WHERE work = 'transit-arrival'),
      part AS (
        SELECT h.from_premises_id, h.to_premises_id, CASE work WHEN 'transit' THEN 'sent' ELSE 'changed' END AS part, h.litres, h.f, h.a
          FROM held_line h
          JOIN ${spanTable(spans)} ON span.premises_id = h.premises_id AND h.occurred_at >= span.starts_at AND h.occurred_at < span.ends_at
         WHERE work <> 'transit-arrival'
        UNION ALL
        SELECT h.from_premises_id, h.to_premises_id, CASE a.side WHEN 'stock' THEN 'received' ELSE 'lost' END, p.litres, p.lpa_fermented, p.lpa_added
          FROM arrival h JOIN posting p ON p.producer_id = ${producerId}::uuid AND p.operation_sequence = h.operation_sequence
          JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.kind NOT IN ('in-transit', 'premises-moves')
          JOIN ${spanTable(spans)} ON span.premises_id = a.premises_id AND p.occurred_at >= span.starts_at AND p.occurred_at < span.ends_at
        UNION ALL
        SELECT h.from_premises_id, h.to_premises_id, 'on-the-way-at-start', h.litres, h.f, h.a
          FROM held_line h JOIN ${momentTable(starts)} ON moment.premises_id = h.premises_id AND h.occurred_at < moment.at
        UNION ALL
        SELECT h.from_premises_id, h.to_premises_id, 'on-the-way-at-end', h.litres, h.f, h.a
          FROM held_line h JOIN ${momentTable(ends)} ON moment.premises_id = h.premises_id AND h.occurred_at < moment.at)
      SELECT from_premises_id AS "fromPremisesId", to_premises_id AS "toPremisesId", part, sum(litres)::text AS litres, sum(f)::text AS fermented,
             sum(a)::text AS added
        FROM part GROUP BY from_premises_id, to_premises_id, part
       ORDER BY 1, 2, 3`;
  }
}
