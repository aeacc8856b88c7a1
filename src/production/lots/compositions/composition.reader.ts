import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../../generated/prisma/client.js';

/** A composition: a lot between two changes of what is in it. */
export interface CompositionRow {
  readonly id: string;
  readonly lotId: string;
  readonly lotCode: string;
  readonly premisesId: string;
  readonly category: string;
  readonly kind: string;
  readonly openedAt: Date;
  readonly recipeVersionId: string | null;
}

/** Reads compositions for all other features. */
@Injectable()
export class CompositionReader {
  async row(tx: Tx, producerId: string, id: string): Promise<CompositionRow | undefined> {
    const rows = await this.#where(tx, producerId, Prisma.sql`c.id = ${id}::uuid`);
    return rows.at(0);
  }

  /** Compositions of a lot, oldest first. */
  ofLot(tx: Tx, producerId: string, lotId: string): Promise<CompositionRow[]> {
    return this.#where(tx, producerId, Prisma.sql`c.lot_id = ${lotId}::uuid`);
  }

  ofIds(tx: Tx, producerId: string, ids: readonly string[]): Promise<CompositionRow[]> {
    return this.#where(tx, producerId, Prisma.sql`c.id = ANY (${ids}::uuid[])`);
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<CompositionRow[]> {
    return tx.$queryRaw<CompositionRow[]>`
      SELECT c.id, c.lot_id AS "lotId", l.code AS "lotCode", c.premises_id AS "premisesId", l.category, c.kind, c.opened_at AS "openedAt",
             l.recipe_version_id AS "recipeVersionId"
        FROM composition c JOIN lot l ON l.producer_id = c.producer_id AND l.id = c.lot_id
       WHERE c.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY c.opened_at, c.id`;
  }
}
