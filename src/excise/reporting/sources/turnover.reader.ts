import { Injectable } from '@nestjs/common';
import { COVERAGE_FACTOR } from '../../../ledger/figures/figure.js';
import type { FigureRow } from '../../../ledger/figures/figure.js';
import type { Span } from '../../../ledger/figures/span.js';
import { spanTable } from '../../../ledger/figures/span.js';
import { Prisma } from '../../../generated/prisma/client.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** Effect of events on stock, in or out, in a week or in all. */
export interface TurnoverRow extends FigureRow {
  readonly direction: 'in' | 'out';
  /** Monday of the week in local days; null: the whole span. */
  readonly week: string | null;
}

/** A span with the zone that its local days are those of. */
export interface LocalSpan extends Span {
  readonly timeZone: string;
}

const zoneTable = (spans: readonly LocalSpan[]): Prisma.Sql =>
  Prisma.sql`unnest(${spans.map(({ premisesId }) => premisesId)}::uuid[], ${spans.map(({ timeZone }) => timeZone)}::text[]) AS zone(premises_id, name)`;

/** Sums what came into stock and what left it, set-based. */
@Injectable()
export class TurnoverReader {
  /**
   * An event is an operation with what reverses it: its net effect on the stock of all the premises counts, litres and pure alcohol each by their own
   * sign. So a transfer counts with its loss alone, and opening, in and out make closing.
   */
  sums(tx: Tx, producerId: string, spans: readonly LocalSpan[]): Promise<TurnoverRow[]> {
    return tx.$queryRaw<TurnoverRow[]>`
      WITH line AS MATERIALIZED (
        SELECT p.producer_id, p.operation_sequence, p.line, coalesce(o.reverses, o.id) AS event,
               date_trunc('week', min(o.occurred_at AT TIME ZONE zone.name) OVER (PARTITION BY coalesce(o.reverses, o.id)))::date AS week,
               p.litres, p.lpa_fermented AS fermented, p.lpa_added AS added
          FROM ${spanTable(spans)} JOIN ${zoneTable(spans)} ON zone.premises_id = span.premises_id
          JOIN account a ON a.premises_id = span.premises_id
          JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
          JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
         WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock'
           AND p.occurred_at >= span.starts_at AND p.occurred_at < span.ends_at),
      event AS (
        SELECT event, week, sum(litres) AS l, sum(fermented) AS f, sum(added) AS a FROM line GROUP BY event, week),
      measure AS (
        SELECT event, week, CASE WHEN l > 0 THEN 'in' ELSE 'out' END AS direction, l, 0 AS f, 0 AS a FROM event WHERE l <> 0
        UNION ALL
        SELECT event, week, CASE WHEN f + a > 0 THEN 'in' ELSE 'out' END, 0, f, a FROM event WHERE f + a <> 0 OR f <> 0),
      sums AS (
        SELECT direction, week, grouping(week) AS level, sum(l) AS l, sum(f) AS f, sum(a) AS a
          FROM measure GROUP BY GROUPING SETS ((direction, week), (direction))),
      origins AS (
        SELECT n.event, c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
          FROM line n JOIN posting_component c ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
         GROUP BY n.event, c.origin),
      vectors AS (
        SELECT m.direction, m.week, grouping(m.week) AS level, o.origin,
               sum(CASE WHEN m.l <> 0 THEN o.l ELSE 0 END) AS l, sum(CASE WHEN m.f <> 0 OR m.a <> 0 THEN o.a ELSE 0 END) AS a
          FROM measure m JOIN origins o ON o.event = m.event
         GROUP BY GROUPING SETS ((m.direction, m.week, o.origin), (m.direction, o.origin))),
      spread AS (
        SELECT direction, week, level, sqrt(sum(l * l)) AS l, sqrt(sum(a * a)) AS a FROM vectors GROUP BY direction, week, level)
      SELECT s.direction, CASE s.level WHEN 0 THEN s.week::text END AS week, s.l::text AS litres, s.f::text AS fermented, s.a::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM sums s LEFT JOIN spread u ON u.direction = s.direction AND u.level = s.level AND u.week IS NOT DISTINCT FROM s.week
       ORDER BY s.level DESC, s.week, s.direction`;
  }
}
