import { Injectable } from '@nestjs/common';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../generated/prisma/client.js';
import { inDays } from '../../platform/database/day-filter.js';
import type { DayFilter } from '../../platform/pagination.js';
import { COVERAGE_FACTOR } from '../figures/figure.js';
import type { FigureRow } from '../figures/figure.js';

export interface OperationRow {
  readonly id: string;
  readonly sequence: bigint;
  readonly kind: string;
  readonly timing: string;
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly recordedAt: Date;
  readonly lotId: string | null;
  readonly compositionId: string | null;
  readonly personId: string | null;
  readonly keyId: string | null;
  readonly reverses: string | null;
  readonly reversedBy: string | null;
  readonly corrects: string | null;
  readonly explains: string | null;
  readonly earlierPeriodId: string | null;
  readonly reasonCode: string | null;
  readonly note: string | null;
  readonly document: Record<string, unknown>;
  readonly trailSequence: bigint;
}

export interface PostingRow extends FigureRow {
  readonly sequence: bigint;
  readonly line: number;
  readonly accountId: string;
  readonly account: string;
  readonly side: 'stock' | 'nominal';
  readonly kind: string;
  readonly stage: string | null;
  readonly category: string | null;
  readonly lotId: string | null;
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
  readonly materialLotId: string | null;
}

export interface ComponentRow {
  readonly line: number;
  readonly origin: string;
  readonly litres: string;
  readonly lpa: string;
}

export interface OperationFilter extends DayFilter {
  readonly lotId?: string;
  readonly packagedLotId?: string;
  readonly materialLotId?: string;
  readonly vesselId?: string;
  readonly kind?: string;
  readonly premisesId?: string;
  readonly periodId?: string;
  readonly accountId?: string;
  /** A nominal kind: operations with a posting on that line. */
  readonly line?: string;
  readonly category?: string;
  readonly dutyStatus?: string;
}

const orNull = (value: string | undefined): string | null => value ?? null;

/** Reads operations with their postings. */
@Injectable()
export class OperationsReader {
  async row(tx: Tx, producerId: string, id: string): Promise<OperationRow | undefined> {
    const rows = await this.#where(tx, producerId, Prisma.sql`o.id = ${id}::uuid`, 1);
    return rows.at(0);
  }

  page(tx: Tx, producerId: string, filter: OperationFilter, after: number, take: number): Promise<OperationRow[]> {
    const [lotId, kind, premisesId, periodId] = [filter.lotId, filter.kind, filter.premisesId, filter.periodId].map(
      orNull,
    );
    const [accountId, line, category] = [filter.accountId, filter.line, filter.category].map(orNull);
    const { packagedLotId, materialLotId, vesselId } = filter;
    const dutyStatus = orNull(filter.dutyStatus);
    const onPostings = [accountId, line, category, dutyStatus, packagedLotId, materialLotId, vesselId].some(
      (each) => each !== null && each !== undefined,
    );
    const condition = Prisma.sql`o.sequence > ${after}
      AND (${kind}::text IS NULL OR o.kind = ${kind}) AND (${premisesId}::uuid IS NULL OR o.premises_id = ${premisesId}::uuid)
      AND (${periodId}::uuid IS NULL OR EXISTS (
        SELECT 1 FROM period d WHERE d.producer_id = o.producer_id AND d.id = ${periodId}::uuid
           AND o.occurred_at >= d.starts_at AND o.occurred_at < d.ends_at AND (d.premises_id = o.premises_id OR EXISTS (
             SELECT 1 FROM posting q JOIN account a ON a.producer_id = q.producer_id AND a.id = q.account_id
              WHERE q.producer_id = o.producer_id AND q.operation_sequence = o.sequence AND a.premises_id = d.premises_id))))
      AND (${lotId}::uuid IS NULL OR o.lot_id = ${lotId}::uuid OR EXISTS (
        SELECT 1 FROM posting q WHERE q.producer_id = o.producer_id AND q.operation_sequence = o.sequence AND q.lot_id = ${lotId}::uuid))
      AND ${inDays(Prisma.sql`o.occurred_at`, Prisma.sql`z.time_zone`, filter)}
      AND (NOT ${onPostings} OR EXISTS (
        SELECT 1 FROM posting q JOIN account a ON a.producer_id = q.producer_id AND a.id = q.account_id
         WHERE q.producer_id = o.producer_id AND q.operation_sequence = o.sequence
           AND (${accountId}::uuid IS NULL OR q.account_id = ${accountId}::uuid)
           AND (${line}::text IS NULL OR (a.side = 'nominal' AND a.kind = ${line}))
           AND (${category}::text IS NULL OR q.category = ${category})
           AND (${dutyStatus}::text IS NULL OR a.duty_status = ${dutyStatus})
           AND (${orNull(packagedLotId)}::uuid IS NULL OR q.packaged_lot_id = ${orNull(packagedLotId)}::uuid)
           AND (${orNull(materialLotId)}::uuid IS NULL OR q.material_lot_id = ${orNull(materialLotId)}::uuid)
           AND (${orNull(vesselId)}::uuid IS NULL OR a.vessel_id = ${orNull(vesselId)}::uuid)))`;
    return this.#where(tx, producerId, condition, take);
  }

  postings(tx: Tx, producerId: string, sequences: readonly bigint[]): Promise<PostingRow[]> {
    return tx.$queryRaw<PostingRow[]>`
      SELECT p.operation_sequence AS sequence, p.line, p.account_id AS "accountId", a.key AS account, a.side, a.kind, a.stage, p.category,
             p.lot_id AS "lotId", p.composition_id AS "compositionId", p.packaged_lot_id AS "packagedLotId", p.material_lot_id AS "materialLotId",
             p.litres::text AS litres, p.lpa_fermented::text AS fermented, p.lpa_added::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
        LEFT JOIN LATERAL (
          SELECT sqrt(sum(c.c_litres * c.c_litres)) AS l, sqrt(sum(c.c_lpa * c.c_lpa)) AS a FROM posting_component c
           WHERE c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line) u ON true
       WHERE p.producer_id = ${producerId}::uuid AND p.operation_sequence = ANY (${sequences.map(Number)}::bigint[])
       ORDER BY p.operation_sequence, p.line`;
  }

  components(tx: Tx, producerId: string, sequence: bigint): Promise<ComponentRow[]> {
    return tx.$queryRaw<ComponentRow[]>`
      SELECT c.line, c.origin, c.c_litres::text AS litres, c.c_lpa::text AS lpa FROM posting_component c
       WHERE c.producer_id = ${producerId}::uuid AND c.operation_sequence = ${sequence}
       ORDER BY c.line, c.origin COLLATE "C"`;
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql, take: number): Promise<OperationRow[]> {
    return tx.$queryRaw<OperationRow[]>`
      SELECT o.id, o.sequence, o.kind, o.timing, o.premises_id AS "premisesId", o.occurred_at AS "occurredAt", o.recorded_at AS "recordedAt",
             o.lot_id AS "lotId", o.composition_id AS "compositionId", o.person_id AS "personId", o.key_id AS "keyId", o.reverses,
             (SELECT r.id FROM operation r WHERE r.producer_id = o.producer_id AND r.reverses = o.id) AS "reversedBy", o.corrects, o.explains,
             o.earlier_period_id AS "earlierPeriodId", o.reason_code AS "reasonCode", t.text AS note, o.document, o.trail_sequence AS "trailSequence"
        FROM operation o JOIN premises z ON z.producer_id = o.producer_id AND z.id = o.premises_id
        LEFT JOIN personal_text t ON t.producer_id = o.producer_id AND t.id = o.note_text_id
       WHERE o.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY o.sequence LIMIT ${take}`;
  }
}
