import { Injectable } from '@nestjs/common';
import { COVERAGE_FACTOR } from '../../../ledger/figures/figure.js';
import type { FigureRow } from '../../../ledger/figures/figure.js';
import type { Span } from '../../../ledger/figures/span.js';
import type { DutyStatus } from '../../../ledger/books/account.js';
import { linePostings } from '../../../ledger/figures/line-postings.js';
import type { LineGroup } from '../../../ledger/figures/report-lines.js';
import { Prisma } from '../../../generated/prisma/client.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** Sum of the lines of one group, in a week or in all. */
export interface TurnoverRow extends FigureRow {
  readonly group: LineGroup;
  /** Monday of the week in local days; null: the whole span. */
  readonly week: string | null;
  /** null: both together; a week is always of both. */
  readonly dutyStatus: DutyStatus | null;
}

/** A span with the zone that its local days are those of. */
export interface LocalSpan extends Span {
  readonly timeZone: string;
}

const zoneTable = (spans: readonly LocalSpan[]): Prisma.Sql =>
  Prisma.sql`unnest(${spans.map(({ premisesId }) => premisesId)}::uuid[], ${spans.map(({ timeZone }) => timeZone)}::text[]) AS zone(premises_id, name)`;

/** Sums the lines of a report by their groups, set-based. */
@Injectable()
export class TurnoverReader {
  /** The same postings and the same lines as the balance, so the weeks add up to the whole, and the whole to the lines. An event counts in the week in which it began. */
  sums(tx: Tx, producerId: string, spans: readonly LocalSpan[]): Promise<TurnoverRow[]> {
    return tx.$queryRaw<TurnoverRow[]>`
      WITH line AS MATERIALIZED (
        SELECT n.*, date_trunc('week', min(n.occurred_at AT TIME ZONE zone.name) OVER (PARTITION BY n.event))::date AS week
          FROM (${linePostings(producerId, spans)}) n JOIN ${zoneTable(spans)} ON zone.premises_id = n.premises_id),
      sums AS (
        SELECT grp, week, duty_status, grouping(week, duty_status) AS level, -sum(litres) AS l, -sum(fermented) AS f, -sum(added) AS a
          FROM line GROUP BY GROUPING SETS ((grp), (grp, week), (grp, duty_status))),
      vectors AS (
        SELECT n.grp, n.week, n.duty_status, grouping(n.week, n.duty_status) AS level, c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
          FROM line n JOIN posting_component c ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
         GROUP BY GROUPING SETS ((n.grp, c.origin), (n.grp, n.week, c.origin), (n.grp, n.duty_status, c.origin))),
      uncertainty AS (
        SELECT grp, week, duty_status, level, sqrt(sum(l * l)) AS l, sqrt(sum(a * a)) AS a FROM vectors GROUP BY grp, week, duty_status, level)
      SELECT s.grp AS group, s.week::text AS week, s.duty_status AS "dutyStatus", s.l::text AS litres, s.f::text AS fermented, s.a::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM sums s LEFT JOIN uncertainty u ON u.grp = s.grp AND u.level = s.level AND u.week IS NOT DISTINCT FROM s.week
             AND u.duty_status IS NOT DISTINCT FROM s.duty_status
       ORDER BY s.level DESC, s.week, s.grp COLLATE "C", s.duty_status COLLATE "C"`;
  }
}
