import { Injectable } from '@nestjs/common';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../generated/prisma/client.js';
import { inDays, isNamed } from '../../platform/database/day-filter.js';
import type { DayFilter } from '../../platform/pagination.js';
import type { LotRow } from './lots.dto.js';

export interface LotFilter extends DayFilter {
  readonly id?: string;
  /** Only those after this id. */
  readonly after?: string;
  readonly premisesId?: string;
  readonly code?: string;
  readonly category?: string;
  readonly recipeId?: string;
  /** By its stock: liquid before containers. */
  readonly state?: 'in-process' | 'finished' | 'packed' | 'empty';
  /** Only those of which this vessel holds liquid. */
  readonly vesselId?: string;
}

/** State of a lot by its stock: its liquid before its containers, and what has no strength of record before what has. */
const STATE_OF_LOT = Prisma.sql`coalesce((
  SELECT CASE WHEN bool_or(c.id IS NOT NULL AND NOT f.found) THEN 'in-process' WHEN bool_or(c.id IS NOT NULL) THEN 'finished' ELSE 'packed' END
    FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
    LEFT JOIN composition c ON c.producer_id = a.producer_id AND c.id = a.composition_id
    LEFT JOIN packaged_lot k ON k.producer_id = a.producer_id AND k.id = a.packaged_lot_id
    LEFT JOIN LATERAL (
      SELECT EXISTS (SELECT 1 FROM finding n WHERE n.producer_id = c.producer_id AND n.composition_id = c.id AND n.standing = 'of-record'
                        AND (n.operation_id IS NULL OR NOT is_reversed(n.producer_id, n.operation_id))) AS found) f ON true
   WHERE a.producer_id = l.producer_id AND a.side = 'stock' AND b.litres > 0 AND (c.lot_id = l.id OR k.lot_id = l.id)
  HAVING count(*) > 0), 'empty')`;

/** Reads lots for all other features. */
@Injectable()
export class LotReader {
  async row(tx: Tx, producerId: string, lotId: string): Promise<LotRow | undefined> {
    const rows = await this.rows(tx, producerId, { id: lotId }, 1);
    return rows.at(0);
  }

  /** By id, oldest first. */
  rows(tx: Tx, producerId: string, filter: LotFilter, take: number): Promise<LotRow[]> {
    const { id = null, after = null, premisesId = null, category = null, recipeId = null, vesselId = null } = filter;
    return tx.$queryRaw<LotRow[]>`
      SELECT l.id, l.code, l.premises_id AS "premisesId", l.category, l.owner, l.person_id AS "personId", l.key_id AS "keyId", l.recipe_version_id AS "recipeVersionId",
             v.recipe_id AS "recipeId", v.number AS "recipeNumber", l.version, l.created_at AS "createdAt", l.retired_at AS "retiredAt"
        FROM lot l JOIN premises s ON s.producer_id = l.producer_id AND s.id = l.premises_id
        LEFT JOIN recipe_version v ON v.producer_id = l.producer_id AND v.id = l.recipe_version_id
       WHERE l.producer_id = ${producerId}::uuid
         AND (${id}::uuid IS NULL OR l.id = ${id}::uuid) AND (${after}::uuid IS NULL OR l.id > ${after}::uuid)
         AND (${premisesId}::uuid IS NULL OR l.premises_id = ${premisesId}::uuid) AND ${isNamed(Prisma.sql`l.code`, filter.code)}
         AND (${category}::text IS NULL OR l.category = ${category}) AND (${recipeId}::uuid IS NULL OR v.recipe_id = ${recipeId}::uuid)
         AND (${vesselId}::uuid IS NULL OR EXISTS (
           SELECT 1 FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
             JOIN composition c ON c.producer_id = a.producer_id AND c.id = a.composition_id
            WHERE a.producer_id = l.producer_id AND a.vessel_id = ${vesselId}::uuid AND a.side = 'stock' AND b.litres > 0 AND c.lot_id = l.id))
         AND (${filter.state ?? null}::text IS NULL OR ${filter.state ?? null} = ${STATE_OF_LOT})
         AND ${inDays(Prisma.sql`l.created_at`, Prisma.sql`s.time_zone`, filter)}
       ORDER BY l.id LIMIT ${take}`;
  }

  /** True if the books hold liquid of the lot, or containers packed from it. */
  async isInStock(tx: Tx, producerId: string, lotId: string): Promise<boolean> {
    const held = await tx.$queryRaw<unknown[]>`
      SELECT 1 FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
        LEFT JOIN composition c ON c.producer_id = a.producer_id AND c.id = a.composition_id
        LEFT JOIN packaged_lot k ON k.producer_id = a.producer_id AND k.id = a.packaged_lot_id
       WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock' AND b.litres > 0
         AND (c.lot_id = ${lotId}::uuid OR k.lot_id = ${lotId}::uuid) LIMIT 1`;
    return held.length > 0;
  }
}
