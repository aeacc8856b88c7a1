import { Injectable } from '@nestjs/common';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../generated/prisma/client.js';
import { inDays } from '../../platform/database/day-filter.js';
import type { DayFilter } from '../../platform/pagination.js';
import type { Flag } from '../../production/shared/flag.dto.js';
import type { Span } from '../../ledger/figures/span.js';
import type { MovementDutyFacts } from './duty-strength.js';
import type { Matched } from './matched.js';
import type { MovementKind } from './movement-kinds.js';

/** A movement as it is kept, with what the books took out for it. Decimals as texts, days as YYYY-MM-DD. */
export interface MovementRow {
  readonly id: string;
  readonly sequence: bigint;
  readonly kind: MovementKind;
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly recordedAt: Date;
  /** None of a material lot. */
  readonly lotId: string | null;
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
  readonly materialLotId: string | null;
  readonly vesselId: string | null;
  readonly count: number | null;
  readonly serials: string[] | null;
  readonly litres: string;
  readonly bookLpa: string;
  readonly category: string;
  readonly dutyDate: string | null;
  readonly declaredStrengthPercent: string | null;
  /** As the rules had it when the goods were moved. */
  readonly duty: MovementDutyFacts | null;
  readonly counterparty: string | null;
  readonly witness: string | null;
  /** Only where duty had been paid on the goods. */
  readonly dutyStatus: string | null;
  /** Of a return: the movements out that the goods came from. */
  readonly returnedFrom: Matched | null;
  /** Of a transit loss: the movement by which the goods were sent. */
  readonly lostFrom: string | null;
  /** Quantities of the latest proof, where it says something. */
  readonly proved: { readonly arrived: string | null; readonly refused: string | null } | null;
  readonly flags: Flag[] | null;
  readonly explains: string | null;
  readonly evidence: Record<string, string>;
  readonly reasonCode: string | null;
  readonly investigatedBy: string | null;
  readonly note: string | null;
  readonly personId: string | null;
  /** The closed period whose mistake it puts right; its books then stand on the line of earlier periods. */
  readonly earlierPeriodId: string | null;
  /** It was reversed: it counts no more. */
  readonly reversed: boolean;
}

export interface MovementFilter extends DayFilter {
  readonly kind?: string;
  readonly premisesId?: string;
  readonly packagedLotId?: string;
  readonly materialLotId?: string;
  readonly periodId?: string;
  readonly lotId?: string;
  readonly vesselId?: string;
  readonly category?: string;
}

/** Reads movements. */
@Injectable()
export class MovementReader {
  async row(tx: Tx, producerId: string, id: string): Promise<MovementRow | undefined> {
    const rows = await this.#where(tx, producerId, Prisma.sql`m.operation_id = ${id}::uuid`, 1);
    return rows.at(0);
  }

  page(tx: Tx, producerId: string, filter: MovementFilter, after: number, take: number): Promise<MovementRow[]> {
    const { kind = null, premisesId = null, packagedLotId = null, materialLotId = null, periodId = null } = filter;
    const { lotId = null, vesselId = null, category = null } = filter;
    const condition = Prisma.sql`o.sequence > ${after}
      AND (${kind}::text IS NULL OR m.kind = ${kind}) AND (${premisesId}::uuid IS NULL OR o.premises_id = ${premisesId}::uuid)
      AND (${packagedLotId}::uuid IS NULL OR m.packaged_lot_id = ${packagedLotId}::uuid)
      AND (${materialLotId}::uuid IS NULL OR m.material_lot_id = ${materialLotId}::uuid)
      AND (${lotId}::uuid IS NULL OR o.lot_id = ${lotId}::uuid) AND (${vesselId}::text IS NULL OR o.document ->> 'vesselId' = ${vesselId})
      AND (${category}::text IS NULL OR b.category = ${category}) AND ${inDays(Prisma.sql`o.occurred_at`, Prisma.sql`z.time_zone`, filter)}
      AND (${periodId}::uuid IS NULL OR EXISTS (
        SELECT 1 FROM period d WHERE d.producer_id = o.producer_id AND d.id = ${periodId}::uuid AND d.premises_id = o.premises_id
           AND o.occurred_at >= d.starts_at AND o.occurred_at < d.ends_at))`;
    return this.#where(tx, producerId, condition, take);
  }

  /** All of a span with these kinds, in the order of the books. */
  ofSpan(tx: Tx, producerId: string, span: Span, kinds: readonly MovementKind[]): Promise<MovementRow[]> {
    const condition = Prisma.sql`o.premises_id = ${span.premisesId}::uuid AND o.occurred_at >= ${span.startsAt}::timestamptz
      AND o.occurred_at < ${span.endsAt}::timestamptz AND m.kind = ANY (${[...kinds]})`;
    return this.#where(tx, producerId, condition, null);
  }

  /** Movements of a packaged lot by which goods went out that may come back, and their returns. */
  outAndBack(tx: Tx, producerId: string, packagedLotId: string): Promise<MovementRow[]> {
    const condition = Prisma.sql`m.packaged_lot_id = ${packagedLotId}::uuid AND (m.kind IN ('release', 'dispatch-suspended', 'export', 'return') OR o.document ? 'lostFrom')`;
    return this.#where(tx, producerId, condition, null);
  }

  ofIds(tx: Tx, producerId: string, ids: readonly string[]): Promise<MovementRow[]> {
    return this.#where(tx, producerId, Prisma.sql`m.operation_id = ANY (${[...ids]}::uuid[])`, null);
  }

  /** Those that correct a closed period; posted before a moment if one is given. */
  ofEarlierPeriod(
    tx: Tx,
    producerId: string,
    periodId: string,
    until: Date | undefined,
    kinds: readonly MovementKind[],
  ): Promise<MovementRow[]> {
    const condition = Prisma.sql`o.earlier_period_id = ${periodId}::uuid AND (${until ?? null}::timestamptz IS NULL OR o.occurred_at < ${until ?? null}::timestamptz) AND m.kind = ANY (${[...kinds]})`;
    return this.#where(tx, producerId, condition, null);
  }

  /** Those of the periods of one premises in which goods of the compositions went out by these kinds. */
  async periodsWith(
    tx: Tx,
    producerId: string,
    periods: readonly { readonly id: string }[],
    compositionIds: readonly string[],
    kinds: readonly MovementKind[],
  ): Promise<Set<string>> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT DISTINCT d.id
        FROM movement m JOIN operation o ON o.producer_id = m.producer_id AND o.id = m.operation_id
        JOIN period d ON d.producer_id = o.producer_id AND d.premises_id = o.premises_id AND o.occurred_at >= d.starts_at AND o.occurred_at < d.ends_at
       WHERE m.producer_id = ${producerId}::uuid AND m.composition_id = ANY (${[...compositionIds]}::uuid[]) AND m.kind = ANY (${[...kinds]})
         AND d.id = ANY (${periods.map(({ id }) => id)}::uuid[])`;
    return new Set(rows.map(({ id }) => id));
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql, take: number | null): Promise<MovementRow[]> {
    return tx.$queryRaw<MovementRow[]>`
      SELECT o.id, o.sequence, m.kind, o.premises_id AS "premisesId", o.occurred_at AS "occurredAt", o.recorded_at AS "recordedAt",
             o.lot_id AS "lotId", o.composition_id AS "compositionId", m.packaged_lot_id AS "packagedLotId",
             m.material_lot_id AS "materialLotId", o.document ->> 'vesselId' AS "vesselId",
             m.count, o.document -> 'serials' AS serials, m.litres::text AS litres, b.lpa::text AS "bookLpa", b.category, m.duty_date::text AS "dutyDate",
             m.strength_for_duty_percent::text AS "declaredStrengthPercent", o.document -> 'duty' AS duty, c.text AS counterparty, w.text AS witness, o.document ->> 'dutyStatus' AS "dutyStatus",
             o.document -> 'returnedFrom' AS "returnedFrom", o.document ->> 'lostFrom' AS "lostFrom", o.document -> 'flags' AS flags, o.explains,
             (SELECT jsonb_build_object('arrived', x.arrived_litres::text, 'refused', x.refused_litres::text) FROM movement_proof x
               WHERE x.producer_id = m.producer_id AND x.operation_id = m.operation_id ORDER BY x.id DESC LIMIT 1) AS proved,
             m.evidence || coalesce((SELECT jsonb_build_object('proof', x.proof) FROM movement_proof x
                                      WHERE x.producer_id = m.producer_id AND x.operation_id = m.operation_id ORDER BY x.id DESC LIMIT 1), '{}') AS evidence,
             o.reason_code AS "reasonCode", o.document ->> 'investigatedBy' AS "investigatedBy",
             n.text AS note, o.person_id AS "personId", o.earlier_period_id AS "earlierPeriodId",
             CASE WHEN EXISTS (SELECT 1 FROM operation r WHERE r.producer_id = o.producer_id AND r.reverses = o.id)
                  THEN is_reversed(o.producer_id, o.id) ELSE false END AS reversed
        FROM movement m
        JOIN operation o ON o.producer_id = m.producer_id AND o.id = m.operation_id
        JOIN premises z ON z.producer_id = o.producer_id AND z.id = o.premises_id
        JOIN LATERAL (
          SELECT abs(sum(p.lpa_fermented + p.lpa_added)) AS lpa, coalesce(min(p.category), '') AS category
            FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
           WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence AND a.side = 'nominal'
             AND (p.litres >= 0 OR NOT o.document ? 'lostFrom')) b ON true
        LEFT JOIN personal_text c ON c.producer_id = m.producer_id AND c.id = m.counterparty_text_id
        LEFT JOIN personal_text w ON w.producer_id = m.producer_id AND w.id = m.witness_text_id
        LEFT JOIN personal_text n ON n.producer_id = o.producer_id AND n.id = o.note_text_id
       WHERE m.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY o.sequence LIMIT ${take}`;
  }
}
