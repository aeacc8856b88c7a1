import { Injectable } from '@nestjs/common';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { DutyStatus, NominalKind } from '../books/account.js';
import { COVERAGE_FACTOR } from './figure.js';
import type { FigureRow } from './figure.js';
import { linePostings } from './line-postings.js';
import type { ReportLineName } from './report-lines.js';
import type { Span } from './span.js';

/** Sum of the postings of one line of the report, as the effect on stock: outflows are negative. */
export interface FlowRow extends FigureRow {
  readonly kind: ReportLineName;
  /** null: all categories and both balances together. */
  readonly category: string | null;
  /** Of a category. */
  readonly dutyStatus: DutyStatus | null;
}

/** The same of one balance, all categories together. */
export interface StatusFlowRow extends FigureRow {
  readonly kind: ReportLineName;
  readonly dutyStatus: DutyStatus;
}

/** The same of one premises. */
export interface PremisesFlowRow extends FigureRow {
  readonly kind: ReportLineName;
  readonly premisesId: string;
}

interface PartRow extends FlowRow {
  readonly premisesId: string | null;
}

export interface FlowSums {
  /** By line, and by line, category and duty status. */
  readonly flows: readonly FlowRow[];
  readonly byStatus: readonly StatusFlowRow[];
  readonly byPremises: readonly PremisesFlowRow[];
}

/** One posting on a nominal account, as the effect on stock. */
export interface FlowLine extends FigureRow {
  readonly kind: NominalKind;
  readonly operationId: string;
  readonly sequence: bigint;
  readonly operationKind: string;
  readonly occurredAt: Date;
  readonly recordedAt: Date;
  readonly reasonCode: string | null;
  readonly reverses: string | null;
  /** The operation that it takes the place of, or differs from. */
  readonly corrects: string | null;
  readonly earlierPeriodId: string | null;
  readonly category: string;
  readonly dutyStatus: string;
  readonly lotId: string | null;
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
  readonly materialLotId: string | null;
  readonly personId: string | null;
  readonly investigatedBy: string | null;
  /** Lot mark, lot code, or material with its lot. */
  readonly product: string | null;
}

/** Sums and lists what flowed in a span, set-based: the number of queries does not grow with the postings. */
@Injectable()
export class FlowReader {
  /** Uncertainty as the root of the sum of squares of what each origin adds up to over all spans. */
  async sums(tx: Tx, producerId: string, spans: readonly Span[]): Promise<FlowSums> {
    const rows = await this.#sums(tx, producerId, spans);
    const flows = rows.filter(
      ({ category, dutyStatus, premisesId }) => premisesId === null && (category === null) === (dutyStatus === null),
    );
    return {
      flows: flows.map(({ premisesId: _, ...row }) => row),
      byStatus: rows.flatMap(({ category, dutyStatus, premisesId: _, ...row }) =>
        category === null && dutyStatus !== null ? [{ ...row, dutyStatus }] : [],
      ),
      byPremises: rows.flatMap(({ category: _, dutyStatus: __, premisesId, ...row }) =>
        premisesId === null ? [] : [{ ...row, premisesId }],
      ),
    };
  }

  #sums(tx: Tx, producerId: string, spans: readonly Span[]): Promise<PartRow[]> {
    return tx.$queryRaw<PartRow[]>`
      WITH line AS MATERIALIZED (${linePostings(producerId, spans)}),
      sums AS (
        SELECT kind, category, duty_status, premises_id, grouping(category, duty_status, premises_id) AS level,
               -sum(litres) AS l, -sum(fermented) AS f, -sum(added) AS a
          FROM line GROUP BY GROUPING SETS ((kind), (kind, duty_status), (kind, category, duty_status), (kind, premises_id))),
      origins AS (
        SELECT n.kind, n.category, n.duty_status, n.premises_id, c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
          FROM line n JOIN posting_component c ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
         GROUP BY n.kind, n.category, n.duty_status, n.premises_id, c.origin),
      vectors AS (
        SELECT kind, category, duty_status, premises_id, grouping(category, duty_status, premises_id) AS level, origin, sum(l) AS l, sum(a) AS a
          FROM origins
         GROUP BY GROUPING SETS ((kind, origin), (kind, duty_status, origin), (kind, category, duty_status, origin), (kind, premises_id, origin))),
      uncertainty AS (
        SELECT kind, category, duty_status, premises_id, level, sqrt(sum(l * l)) AS l, sqrt(sum(a * a)) AS a
          FROM vectors GROUP BY kind, category, duty_status, premises_id, level)
      SELECT s.kind, s.category, s.duty_status AS "dutyStatus", s.premises_id::text AS "premisesId", s.l::text AS litres, s.f::text AS fermented,
             s.a::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM sums s LEFT JOIN uncertainty u ON u.kind = s.kind AND u.level = s.level AND u.category IS NOT DISTINCT FROM s.category
             AND u.duty_status IS NOT DISTINCT FROM s.duty_status AND u.premises_id IS NOT DISTINCT FROM s.premises_id
       ORDER BY s.kind COLLATE "C", s.category COLLATE "C" NULLS FIRST, s.duty_status COLLATE "C" NULLS FIRST, s.premises_id`;
  }

  /** Every posting on nominal accounts of these kinds, in the order of the books. */
  lines(
    tx: Tx,
    producerId: string,
    { premisesId, startsAt, endsAt }: Span,
    kinds: readonly NominalKind[],
  ): Promise<FlowLine[]> {
    return tx.$queryRaw<FlowLine[]>`
      SELECT a.kind, o.id AS "operationId", o.sequence, o.kind AS "operationKind", o.occurred_at AS "occurredAt", o.recorded_at AS "recordedAt",
             o.reason_code AS "reasonCode", o.reverses, o.corrects, o.earlier_period_id AS "earlierPeriodId", coalesce(p.category, '') AS category, a.duty_status AS "dutyStatus", p.lot_id AS "lotId", p.composition_id AS "compositionId",
             p.packaged_lot_id AS "packagedLotId", p.material_lot_id AS "materialLotId",
             o.person_id AS "personId", o.document ->> 'investigatedBy' AS "investigatedBy", coalesce(k.lot_mark, r.name || ' ' || t.code, l.code) AS product,
             (-p.litres)::text AS litres, (-p.lpa_fermented)::text AS fermented, (-p.lpa_added)::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM account a
        JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
        JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
        LEFT JOIN packaged_lot k ON k.producer_id = p.producer_id AND k.id = p.packaged_lot_id
        LEFT JOIN material_lot t ON t.producer_id = p.producer_id AND t.id = p.material_lot_id
        LEFT JOIN material r ON r.producer_id = t.producer_id AND r.id = t.material_id
        LEFT JOIN lot l ON l.producer_id = p.producer_id AND l.id = p.lot_id
        LEFT JOIN LATERAL (
          SELECT sqrt(sum(c.c_litres * c.c_litres)) AS l, sqrt(sum(c.c_lpa * c.c_lpa)) AS a FROM posting_component c
           WHERE c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line) u ON true
       WHERE a.producer_id = ${producerId}::uuid AND a.premises_id = ${premisesId}::uuid AND a.side = 'nominal' AND a.kind = ANY (${[...kinds]})
         AND p.occurred_at >= ${startsAt}::timestamptz AND p.occurred_at < ${endsAt}::timestamptz
       ORDER BY o.sequence, p.line`;
  }
}
