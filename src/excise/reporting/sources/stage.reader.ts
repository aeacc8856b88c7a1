import { Injectable } from '@nestjs/common';
import { Prisma } from '../../../generated/prisma/client.js';
import type { DutyStatus } from '../../../ledger/books/account.js';
import type { FigureRow } from '../../../ledger/figures/figure.js';
import { COVERAGE_FACTOR } from '../../../ledger/figures/figure.js';
import type { Span } from '../../../ledger/figures/span.js';
import { openingStock, spanTable } from '../../../ledger/figures/span.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { StageFiguresReader } from './stage-figures.reader.js';

/** Effect of events on the stock of a stage, in or out. */
export interface StageFlowRow extends FigureRow {
  readonly stage: string;
  readonly dutyStatus: DutyStatus;
  readonly direction: 'in' | 'out';
}

/** One side of a kind of work that moves stock from account to account. */
export interface WorkRow extends FigureRow {
  /** Kind of the operation; a reversal counts with what it reverses. */
  readonly work: string;
  /** `given` and `received` by stage, as they left and came; `line` by nominal kind, as the effect on stock. */
  readonly role: 'given' | 'received' | 'line';
  readonly name: string;
}

/** Sums what passed from stage to stage, set-based: the number of queries does not grow with the postings. */
@Injectable()
export class StageReader {
  constructor(readonly figures: StageFiguresReader) {}

  /** An event is an operation with what reverses it: its net effect on each stage counts, litres and pure alcohol each by their own sign. */
  stages(tx: Tx, producerId: string, spans: readonly Span[]): Promise<StageFlowRow[]> {
    return tx.$queryRaw<StageFlowRow[]>`
      WITH line AS MATERIALIZED (
        ${lines(producerId, spans, Prisma.sql`AND a.side = 'stock' AND NOT ${openingStock}`)}),
      event AS (SELECT event, stage, duty_status, sum(litres) AS l, sum(fermented) AS f, sum(added) AS a FROM line GROUP BY event, stage, duty_status),
      measure AS (
        SELECT event, stage, duty_status, CASE WHEN l > 0 THEN 'in' ELSE 'out' END AS direction, l, 0 AS f, 0 AS a FROM event WHERE l <> 0
        UNION ALL
        SELECT event, stage, duty_status, CASE WHEN f + a > 0 THEN 'in' ELSE 'out' END, 0, f, a FROM event WHERE f + a <> 0 OR f <> 0),
      sums AS (SELECT stage, duty_status, direction, sum(l) AS l, sum(f) AS f, sum(a) AS a FROM measure GROUP BY stage, duty_status, direction),
      origins AS (
        SELECT n.event, n.stage, n.duty_status, c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
          FROM line n JOIN posting_component c ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
         GROUP BY n.event, n.stage, n.duty_status, c.origin),
      vectors AS (
        SELECT m.stage, m.duty_status, m.direction, o.origin, sum(CASE WHEN m.l <> 0 THEN o.l ELSE 0 END) AS l,
               sum(CASE WHEN m.f <> 0 OR m.a <> 0 THEN o.a ELSE 0 END) AS a
          FROM measure m JOIN origins o ON o.event = m.event AND o.stage = m.stage AND o.duty_status = m.duty_status
         GROUP BY m.stage, m.duty_status, m.direction, o.origin),
      uncertainty AS (
        SELECT stage, duty_status, direction, sqrt(sum(l * l)) AS l, sqrt(sum(a * a)) AS a FROM vectors GROUP BY stage, duty_status, direction)
      SELECT s.stage, s.duty_status AS "dutyStatus", s.direction, s.l::text AS litres, s.f::text AS fermented, s.a::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM sums s LEFT JOIN uncertainty u USING (stage, duty_status, direction)
       ORDER BY s.stage COLLATE "C", s.duty_status COLLATE "C" DESC, s.direction`;
  }

  /**
   * Work that gave from one stock account to another, by its kind. Which side an account is on is decided once an event, by the sign of its net
   * effect (litres, pure alcohol where no litres moved), so that an event that was reversed in the same span leaves nothing.
   */
  works(tx: Tx, producerId: string, spans: readonly Span[]): Promise<WorkRow[]> {
    return tx.$queryRaw<WorkRow[]>`
      WITH line AS MATERIALIZED (
        ${lines(producerId, spans, Prisma.empty)}),
      side AS (
        SELECT event, account_id, min(event_sign) AS event_sign,
               sign(CASE WHEN sum(litres) <> 0 THEN sum(litres) ELSE sum(fermented + added) END) * min(event_sign) AS way
          FROM line WHERE side = 'stock' GROUP BY event, account_id
        HAVING sum(litres) <> 0 OR sum(fermented + added) <> 0),
      work AS (SELECT event FROM side GROUP BY event HAVING min(way) < 0 AND max(way) > 0),
      part AS (
        SELECT n.work, CASE WHEN n.side = 'nominal' THEN 'line' WHEN s.way < 0 THEN 'given' ELSE 'received' END AS role,
               CASE WHEN n.side = 'nominal' THEN n.kind ELSE n.stage END || CASE n.duty_status WHEN 'paid' THEN ', duty paid' ELSE '' END AS name,
               CASE WHEN n.side = 'stock' AND s.way > 0 THEN 1 ELSE -1 END AS turn,
               n.producer_id, n.operation_sequence, n.line, n.litres, n.fermented, n.added
          FROM line n JOIN work w ON w.event = n.event LEFT JOIN side s ON s.event = n.event AND s.account_id = n.account_id
         WHERE n.side = 'nominal' OR s.event IS NOT NULL),
      sums AS (
        SELECT work, role, name, sum(turn * litres) AS l, sum(turn * fermented) AS f, sum(turn * added) AS a FROM part GROUP BY work, role, name),
      spread AS (
        SELECT work, role, name, sqrt(sum(l * l)) AS l, sqrt(sum(a * a)) AS a
          FROM (SELECT n.work, n.role, n.name, c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
                  FROM part n JOIN posting_component c
                    ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
                 GROUP BY n.work, n.role, n.name, c.origin) v
         GROUP BY work, role, name)
      SELECT s.work, s.role, s.name, s.l::text AS litres, s.f::text AS fermented, s.a::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM sums s LEFT JOIN spread u USING (work, role, name)
       WHERE s.l <> 0 OR s.f <> 0 OR s.a <> 0
       ORDER BY s.work COLLATE "C", s.role, s.name COLLATE "C"`;
  }
}

/** Every posting of the spans with the event that it belongs to; the sign is negative where only the reversal lies in them. */
const lines = (producerId: string, spans: readonly Span[], more: Prisma.Sql): Prisma.Sql => Prisma.sql`
  SELECT p.producer_id, p.operation_sequence, p.line, coalesce(o.reverses, o.id) AS event, coalesce(r.kind, o.kind) AS work,
         max(CASE WHEN o.reverses IS NULL THEN 1 ELSE -1 END) OVER (PARTITION BY coalesce(o.reverses, o.id)) AS event_sign,
         a.side, a.kind, a.duty_status, a.id AS account_id, coalesce(a.stage, '') AS stage, p.litres, p.lpa_fermented AS fermented, p.lpa_added AS added
    FROM ${spanTable(spans)} JOIN account a ON a.premises_id = span.premises_id
    JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
    JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
    LEFT JOIN operation r ON r.producer_id = o.producer_id AND r.id = o.reverses
   WHERE a.producer_id = ${producerId}::uuid ${more} AND p.occurred_at >= span.starts_at AND p.occurred_at < span.ends_at`;
