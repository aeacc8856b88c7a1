import { Injectable } from '@nestjs/common';
import type { FilledWith } from './packed-strength.js';
import type { Quantity } from '../../../metrology/units.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../../generated/prisma/client.js';
import { isNamed } from '../../../platform/database/day-filter.js';
import type { DayFilter } from '../../../platform/pagination.js';

/** Containers filled in one run from one composition. Decimals as texts. */
export interface PackagedLotRow {
  readonly id: string;
  readonly lotId: string;
  readonly lotCode: string;
  readonly compositionId: string;
  readonly premisesId: string;
  readonly category: string;
  /** Its lot's; null for the producer's own. */
  readonly owner: string | null;
  readonly container: string;
  readonly nominalLitres: string;
  /** As it was put right, where it was wrong. */
  readonly count: number;
  readonly lotMark: string;
  readonly declaredStrengthPercent: string;
  readonly dispense: string | null;
  /** A date, YYYY-MM-DD. */
  readonly packagedOn: string;
  readonly operationId: string;
  /** Its containers have serials. */
  readonly bySerial: boolean;
  /** Added to the vessel's liquid in the run, here or where it was packed first. */
  readonly filledWith: FilledWith | null;
  /** Materials dosed into each container in that run. */
  readonly doses: readonly DosedLot[] | null;
}

/** A fact in the document of the run that filled the containers, here or where they were packed first. */
const factOfRun = (name: string): Prisma.Sql => Prisma.sql`(WITH RECURSIVE run(document) AS (
    SELECT o.document FROM operation o WHERE o.producer_id = k.producer_id AND o.id = k.operation_id
    UNION ALL
    SELECT o.document FROM run
      JOIN packaged_lot q ON q.producer_id = k.producer_id AND q.id = (run.document ->> 'fromPackagedLotId')::uuid
      JOIN operation o ON o.producer_id = q.producer_id AND o.id = q.operation_id)
  SELECT run.document -> ${name}::text FROM run WHERE run.document ? ${name}::text LIMIT 1)`;

/** A material dosed into each container of a run. */
interface DosedLot {
  readonly materialLotId: string;
  readonly perContainer: Quantity;
  readonly pureAlcohol: Quantity;
}

export interface PackagedLotFilter extends DayFilter {
  /** Only those after this id. */
  readonly after?: string | null;
  readonly lotId?: string;
  readonly lotMark?: string;
  readonly premisesId?: string;
  readonly category?: string;
  readonly container?: string;
  /** Some of it is in stock, or nothing is any more. */
  readonly state?: 'in-stock' | 'out';
}

/** Reads packaged lots; other modules read the table only through this. */
@Injectable()
export class PackagedLotReader {
  async row(tx: Tx, producerId: string, id: string): Promise<PackagedLotRow | undefined> {
    const rows = await this.#where(tx, producerId, Prisma.sql`k.id = ${id}::uuid`, 1);
    return rows.at(0);
  }

  ofIds(tx: Tx, producerId: string, ids: readonly string[]): Promise<PackagedLotRow[]> {
    return this.#where(tx, producerId, Prisma.sql`k.id = ANY (${ids}::uuid[])`, ids.length);
  }

  /** By id, for paging. */
  page(tx: Tx, producerId: string, filter: PackagedLotFilter, take: number): Promise<PackagedLotRow[]> {
    const { after = null, lotId = null, premisesId = null, category = null, container = null, state } = filter;
    const inStock = Prisma.sql`EXISTS (
      SELECT 1 FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
       WHERE a.producer_id = k.producer_id AND a.packaged_lot_id = k.id AND a.side = 'stock' AND b.litres > 0)`;
    return this.#where(
      tx,
      producerId,
      Prisma.sql`(${after}::uuid IS NULL OR k.id > ${after}::uuid) AND (${lotId}::uuid IS NULL OR k.lot_id = ${lotId}::uuid)
        AND (${premisesId}::uuid IS NULL OR k.premises_id = ${premisesId}::uuid) AND (${category}::text IS NULL OR k.category = ${category})
        AND (${container}::text IS NULL OR k.container = ${container}) AND ${isNamed(Prisma.sql`k.lot_mark`, filter.lotMark)}
        AND (${filter.from ?? null}::date IS NULL OR k.packaged_on >= ${filter.from ?? null}::date)
        AND (${filter.before ?? null}::date IS NULL OR k.packaged_on < ${filter.before ?? null}::date)
        AND ${state === undefined ? Prisma.sql`true` : Prisma.sql`${inStock} = ${state === 'in-stock'}`}`,
      take,
    );
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql, take: number): Promise<PackagedLotRow[]> {
    return tx.$queryRaw<PackagedLotRow[]>`
      SELECT k.id, k.lot_id AS "lotId", l.code AS "lotCode", k.composition_id AS "compositionId", k.premises_id AS "premisesId", k.category, l.owner,
             k.container, k.nominal_litres::text AS "nominalLitres",
             coalesce((SELECT (d.document -> 'count' ->> 'right')::int FROM operation d
                        WHERE d.producer_id = k.producer_id AND d.corrects = k.operation_id AND d.kind = 'difference' AND d.document ? 'count'
                          AND d.document ->> 'packagedLotId' = k.id::text AND NOT is_reversed(d.producer_id, d.id)
                        ORDER BY d.sequence DESC LIMIT 1), k.count) AS count, k.lot_mark AS "lotMark",
             k.declared_strength_percent::text AS "declaredStrengthPercent", k.dispense, k.packaged_on::text AS "packagedOn",
             k.operation_id AS "operationId",
             EXISTS (SELECT 1 FROM container_event e WHERE e.producer_id = k.producer_id AND e.operation_id = k.operation_id AND e.packaged_lot_id = k.id
                        AND e.event IN ('filled', 'relabelled')) AS "bySerial",
             ${factOfRun('doses')} AS doses, ${factOfRun('filledWith')} AS "filledWith"
        FROM packaged_lot k JOIN lot l ON l.producer_id = k.producer_id AND l.id = k.lot_id
       WHERE k.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY k.id LIMIT ${take}`;
  }
}
