import { Injectable } from '@nestjs/common';
import { inDays } from '../../../platform/database/day-filter.js';
import type { DayFilter } from '../../../platform/pagination.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../../generated/prisma/client.js';
import type { FigureRow } from '../../../ledger/figures/figure.js';
import { COVERAGE_FACTOR } from '../../../ledger/figures/figure.js';
import type { StockOffset } from './stock-takes.dto.js';
import type { Span } from '../../../ledger/figures/span.js';

/** One product of a stock-take as it is kept, with what was posted for it. Decimals as texts. */
export interface CountRow {
  readonly operationId: string;
  readonly stockTakeId: string;
  readonly sequence: bigint;
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly recordedAt: Date;
  readonly personId: string | null;
  /** None of a material lot. */
  readonly lotId: string | null;
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
  readonly materialLotId: string | null;
  readonly vesselId: string | null;
  readonly category: string;
  readonly dutyStatus: string | null;
  readonly counted: number | null;
  readonly bookLitres: string;
  readonly countedLitres: string;
  readonly differenceLpa: string;
  /** U (95 %) of the difference in litres; 0 where none is stated. */
  readonly expandedLitres: string;
  readonly reasonCode: string | null;
  readonly explanation: string | null;
  readonly investigatedBy: string | null;
  readonly countSheet: string | null;
  readonly offset: StockOffset | null;
  readonly reversed: boolean;
}

/** Remaining difference of one product after the entries that explain it. */
export interface DifferenceRow extends FigureRow {
  readonly operationId: string;
  readonly stockTakeId: string;
  readonly occurredAt: Date;
  readonly category: string;
  readonly product: string;
  readonly reasonCode: string | null;
  readonly dutyStatus: string | null;
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
  readonly bookLitres: string;
  readonly countedLitres: string;
  readonly investigatedBy: string | null;
  readonly countSheet: string | null;
  readonly offset: StockOffset | null;
}

/** Reads stock-takes. */
@Injectable()
export class StockTakeReader {
  one(tx: Tx, producerId: string, id: string): Promise<CountRow[]> {
    return this.#where(tx, producerId, Prisma.sql`c.stock_take_id = ${id}::uuid`);
  }

  /** The products of the next stock-takes after one, whole ones. */
  page(
    tx: Tx,
    producerId: string,
    filter: DayFilter & { readonly premisesId?: string },
    after: string | null,
    take: number,
  ): Promise<CountRow[]> {
    const { premisesId = null } = filter;
    return this.#where(
      tx,
      producerId,
      Prisma.sql`c.stock_take_id IN (
        SELECT DISTINCT k.stock_take_id FROM stock_count k JOIN operation q ON q.producer_id = k.producer_id AND q.id = k.operation_id
          JOIN premises z ON z.producer_id = q.producer_id AND z.id = q.premises_id
         WHERE k.producer_id = ${producerId}::uuid AND (${after}::uuid IS NULL OR k.stock_take_id > ${after}::uuid)
           AND (${premisesId}::uuid IS NULL OR q.premises_id = ${premisesId}::uuid)
           AND ${inDays(Prisma.sql`q.occurred_at`, Prisma.sql`z.time_zone`, filter)}
         ORDER BY k.stock_take_id LIMIT ${take})`,
    );
  }

  /** Time of the last count or gauge of each account before a moment. */
  async lastCounted(tx: Tx, producerId: string, accounts: readonly string[], before: Date): Promise<Map<string, Date>> {
    const rows = await tx.$queryRaw<{ id: string; at: Date }[]>`
      SELECT p.account_id AS id, max(p.occurred_at) AS at
        FROM account a
        JOIN (SELECT producer_id, operation_id, packaged_lot_id, composition_id, material_lot_id FROM stock_count
              UNION ALL SELECT producer_id, operation_id, NULL, composition_id, NULL FROM gauge) k
          ON k.producer_id = a.producer_id AND (k.packaged_lot_id = a.packaged_lot_id OR k.composition_id = a.composition_id
              OR k.material_lot_id = a.material_lot_id)
        JOIN posting p ON p.producer_id = k.producer_id AND p.operation_id = k.operation_id AND p.account_id = a.id
       WHERE a.producer_id = ${producerId}::uuid AND a.id = ANY (${[...accounts]}::uuid[]) AND p.occurred_at < ${before}::timestamptz
         AND NOT is_reversed(k.producer_id, k.operation_id)
       GROUP BY p.account_id`;
    return new Map(rows.map(({ id, at }) => [id, at]));
  }

  /** The differences of a span that stand: each product by itself, less what has been explained since. */
  differences(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: Span): Promise<DifferenceRow[]> {
    return tx.$queryRaw<DifferenceRow[]>`
      WITH standing AS (
        SELECT c.*, o.occurred_at, o.sequence, o.document ->> 'dutyStatus' AS duty_status,
               o.document ->> 'investigatedBy' AS investigated_by, o.document ->> 'countSheet' AS count_sheet, o.document -> 'offset' AS offset_against
          FROM operation o JOIN stock_count c ON c.producer_id = o.producer_id AND c.operation_id = o.id
         WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${premisesId}::uuid AND o.kind = 'count'
           AND o.occurred_at >= ${startsAt}::timestamptz AND o.occurred_at < ${endsAt}::timestamptz
           AND NOT is_reversed(o.producer_id, o.id)),
      about AS (
        SELECT s.operation_id AS count_id, s.operation_id AS operation_id FROM standing s
        UNION ALL
        SELECT s.operation_id, e.id FROM standing s JOIN operation e ON e.producer_id = s.producer_id AND e.explains = s.operation_id),
      line AS (
        SELECT b.count_id, p.producer_id, p.operation_sequence, p.line, p.litres, p.lpa_fermented, p.lpa_added, p.category
          FROM about b
          JOIN posting p ON p.producer_id = ${producerId}::uuid AND p.operation_id = b.operation_id
          JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'nominal' AND a.kind = 'stock-difference'),
      uncertainty AS (
        SELECT v.count_id, sqrt(sum(v.l * v.l)) AS l, sqrt(sum(v.a * v.a)) AS a
          FROM (SELECT n.count_id, c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
                  FROM line n JOIN posting_component c
                    ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
                 GROUP BY n.count_id, c.origin) v
         GROUP BY v.count_id)
      SELECT s.operation_id AS "operationId", s.stock_take_id AS "stockTakeId", s.occurred_at AS "occurredAt", min(n.category) AS category,
             coalesce(min(k.lot_mark), min(r.name || ' ' || t.code), concat_ws(', ', min(l.code), min(w.name))) AS product, s.reason_code AS "reasonCode",
             s.duty_status AS "dutyStatus", s.composition_id AS "compositionId", s.packaged_lot_id AS "packagedLotId",
             s.book_litres::text AS "bookLitres", s.counted_litres::text AS "countedLitres", s.investigated_by AS "investigatedBy", s.count_sheet AS "countSheet", s.offset_against AS offset,
             (-sum(n.litres))::text AS litres, (-sum(n.lpa_fermented))::text AS fermented, (-sum(n.lpa_added))::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(min(u.l), 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(min(u.a), 0), 6)::text AS "expandedLpa"
        FROM standing s
        JOIN line n ON n.count_id = s.operation_id
        LEFT JOIN uncertainty u ON u.count_id = s.operation_id
        LEFT JOIN packaged_lot k ON k.producer_id = s.producer_id AND k.id = s.packaged_lot_id
        LEFT JOIN material_lot t ON t.producer_id = s.producer_id AND t.id = s.material_lot_id
        LEFT JOIN material r ON r.producer_id = t.producer_id AND r.id = t.material_id
        LEFT JOIN composition m ON m.producer_id = s.producer_id AND m.id = s.composition_id
        LEFT JOIN lot l ON l.producer_id = m.producer_id AND l.id = m.lot_id
        LEFT JOIN vessel w ON w.producer_id = s.producer_id AND w.id = s.vessel_id
       GROUP BY s.operation_id, s.stock_take_id, s.occurred_at, s.sequence, s.reason_code, s.duty_status, s.composition_id,
             s.packaged_lot_id, s.book_litres, s.counted_litres, s.investigated_by, s.count_sheet, s.offset_against
      HAVING sum(n.litres) <> 0
       ORDER BY s.sequence`;
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<CountRow[]> {
    return tx.$queryRaw<CountRow[]>`
      SELECT c.operation_id AS "operationId", c.stock_take_id AS "stockTakeId", o.sequence, o.premises_id AS "premisesId",
             o.occurred_at AS "occurredAt", o.recorded_at AS "recordedAt", o.person_id AS "personId", o.lot_id AS "lotId",
             o.composition_id AS "compositionId", c.packaged_lot_id AS "packagedLotId", c.material_lot_id AS "materialLotId", c.vessel_id AS "vesselId",
             o.document ->> 'category' AS category, o.document ->> 'dutyStatus' AS "dutyStatus", c.counted,
             c.book_litres::text AS "bookLitres", c.counted_litres::text AS "countedLitres", coalesce(d.lpa, 0)::text AS "differenceLpa",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             c.reason_code AS "reasonCode", t.text AS explanation, o.document ->> 'investigatedBy' AS "investigatedBy", o.document ->> 'countSheet' AS "countSheet",
             o.document -> 'offset' AS offset, is_reversed(o.producer_id, o.id) AS reversed
        FROM stock_count c
        JOIN operation o ON o.producer_id = c.producer_id AND o.id = c.operation_id
        LEFT JOIN LATERAL (
          SELECT sum(p.lpa_fermented + p.lpa_added) AS lpa FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
           WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence AND a.side = 'stock') d ON true
        LEFT JOIN LATERAL (
          SELECT sqrt(sum(n.l * n.l)) AS l
            FROM (SELECT sum(v.c_litres) AS l
                    FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
                    JOIN posting_component v ON v.producer_id = p.producer_id AND v.operation_sequence = p.operation_sequence AND v.line = p.line
                   WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence AND a.side = 'stock'
                   GROUP BY v.origin) n) u ON true
        LEFT JOIN personal_text t ON t.producer_id = c.producer_id AND t.id = c.text_id
       WHERE c.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY c.stock_take_id, o.sequence`;
  }
}
