import { Injectable } from '@nestjs/common';
import { Prisma } from '../../generated/prisma/client.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { NominalKind } from '../books/account.js';
import { COVERAGE_FACTOR } from './figure.js';
import type { FigureRow } from './figure.js';
import type { Span } from './span.js';
import { spanTable } from './span.js';

/** Sum of the postings on nominal accounts of one kind, as the effect on stock: outflows are negative. */
export interface FlowRow extends FigureRow {
  readonly kind: NominalKind;
  /** null: all categories together. */
  readonly category: string | null;
}

/** The same of one premises. */
export interface PremisesFlowRow extends FigureRow {
  readonly kind: NominalKind;
  readonly premisesId: string;
}

interface PartRow extends FigureRow {
  readonly kind: NominalKind;
  readonly part: string | null;
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
}

/** Sums and lists what flowed in a span, set-based: the number of queries does not grow with the postings. */
@Injectable()
export class FlowReader {
  /** By kind, and by kind and category; uncertainty as the root of the sum of squares of what each origin adds up to over all spans. */
  async sums(tx: Tx, producerId: string, spans: readonly Span[]): Promise<FlowRow[]> {
    const rows = await this.#sums(tx, producerId, spans, Prisma.sql`coalesce(p.category, '')`);
    return rows.map(({ part, ...row }) => ({ ...row, category: part }));
  }

  /** By kind and premises. */
  async sumsByPremises(tx: Tx, producerId: string, spans: readonly Span[]): Promise<PremisesFlowRow[]> {
    const rows = await this.#sums(tx, producerId, spans, Prisma.sql`a.premises_id::text`);
    return rows.flatMap(({ part, ...row }) => (part === null ? [] : [{ ...row, premisesId: part }]));
  }

  #sums(tx: Tx, producerId: string, spans: readonly Span[], part: Prisma.Sql): Promise<PartRow[]> {
    return tx.$queryRaw<PartRow[]>`
      WITH line AS MATERIALIZED (
        SELECT p.producer_id, p.operation_sequence, p.line, a.kind, ${part} AS part, p.litres, p.lpa_fermented, p.lpa_added
          FROM ${spanTable(spans)} JOIN account a ON a.premises_id = span.premises_id
          JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
         WHERE a.producer_id = ${producerId}::uuid AND a.side = 'nominal' AND p.occurred_at >= span.starts_at AND p.occurred_at < span.ends_at),
      sums AS (
        SELECT kind, part, grouping(part) AS level, -sum(litres) AS l, -sum(lpa_fermented) AS f, -sum(lpa_added) AS a
          FROM line GROUP BY GROUPING SETS ((kind, part), (kind))),
      origins AS (
        SELECT n.kind, n.part, c.origin, sum(c.c_litres) AS l, sum(c.c_lpa) AS a
          FROM line n JOIN posting_component c ON c.producer_id = n.producer_id AND c.operation_sequence = n.operation_sequence AND c.line = n.line
         GROUP BY n.kind, n.part, c.origin),
      vectors AS (
        SELECT kind, part, grouping(part) AS level, origin, sum(l) AS l, sum(a) AS a
          FROM origins GROUP BY GROUPING SETS ((kind, part, origin), (kind, origin))),
      uncertainty AS (SELECT kind, part, level, sqrt(sum(l * l)) AS l, sqrt(sum(a * a)) AS a FROM vectors GROUP BY kind, part, level)
      SELECT s.kind, s.part, s.l::text AS litres, s.f::text AS fermented, s.a::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM sums s LEFT JOIN uncertainty u ON u.kind = s.kind AND u.level = s.level AND u.part IS NOT DISTINCT FROM s.part
       ORDER BY s.kind COLLATE "C", s.part COLLATE "C" NULLS FIRST`;
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
             (-p.litres)::text AS litres, (-p.lpa_fermented)::text AS fermented, (-p.lpa_added)::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM account a
        JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
        JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
        LEFT JOIN LATERAL (
          SELECT sqrt(sum(c.c_litres * c.c_litres)) AS l, sqrt(sum(c.c_lpa * c.c_lpa)) AS a FROM posting_component c
           WHERE c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line) u ON true
       WHERE a.producer_id = ${producerId}::uuid AND a.premises_id = ${premisesId}::uuid AND a.side = 'nominal' AND a.kind = ANY (${[...kinds]})
         AND p.occurred_at >= ${startsAt}::timestamptz AND p.occurred_at < ${endsAt}::timestamptz
       ORDER BY o.sequence, p.line`;
  }
}
