import { Injectable } from '@nestjs/common';
import { Prisma } from '../../../generated/prisma/client.js';
import { Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** A material lot without alcohol, with what is on hand of it by the entries, in its own unit. */
export interface MaterialOnHand {
  readonly id: string;
  readonly code: string;
  readonly premisesId: string;
  readonly owner: string | null;
  readonly unit: 'kg' | 'L';
  readonly onHand: Decimal;
}

interface Row extends Omit<MaterialOnHand, 'onHand'> {
  onHand: string;
}

/**
 * Quantity on hand of the material lot `l`: of one with alcohol by the books; of any other the last count, or else what was received, less what was
 * used and written off since. Entries of reversed operations do not count.
 */
export const ON_HAND = Prisma.sql`
  CASE WHEN l.operation_id IS NOT NULL THEN (
    SELECT coalesce(sum(b.litres), 0) FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
     WHERE a.producer_id = l.producer_id AND a.material_lot_id = l.id AND a.side = 'stock')
  ELSE (
    WITH entry AS (
      SELECT e.kind, e.quantity, o.occurred_at, o.sequence
        FROM material_entry e JOIN operation o ON o.producer_id = e.producer_id AND o.id = e.operation_id
       WHERE e.producer_id = l.producer_id AND e.material_lot_id = l.id AND NOT is_reversed(o.producer_id, o.id)),
    counted AS (SELECT quantity, occurred_at, sequence FROM entry WHERE kind = 'counted' ORDER BY occurred_at DESC, sequence DESC LIMIT 1)
    SELECT coalesce((SELECT quantity FROM counted), l.quantity) - coalesce((
      SELECT sum(e.quantity) FROM entry e
       WHERE e.kind <> 'counted' AND NOT EXISTS (SELECT FROM counted c WHERE (c.occurred_at, c.sequence) > (e.occurred_at, e.sequence))), 0))
  END`;

/** Reads the quantity on hand of material lots without alcohol. */
@Injectable()
export class MaterialStockReader {
  /** Those of the lots that the books do not hold, by id. */
  async of(tx: Tx, producerId: string, ids: readonly string[]): Promise<ReadonlyMap<string, MaterialOnHand>> {
    const rows =
      ids.length === 0 ? [] : await this.#where(tx, producerId, Prisma.sql`l.id = ANY (${[...ids]}::uuid[])`);
    return new Map(rows.map((row) => [row.id, row]));
  }

  /** All of which more was used than there was. */
  belowZero(tx: Tx, producerId: string): Promise<MaterialOnHand[]> {
    return this.#where(tx, producerId, Prisma.sql`(${ON_HAND}) < 0`);
  }

  /** Entries of a lot that are later than a moment: what was taken then, and if it was counted. */
  async since(tx: Tx, producerId: string, id: string, at: Date): Promise<{ taken: Decimal; counted: boolean }> {
    const [row] = await tx.$queryRaw<{ taken: string; counted: boolean }[]>`
      SELECT coalesce(sum(e.quantity) FILTER (WHERE e.kind <> 'counted'), 0)::text AS taken, coalesce(bool_or(e.kind = 'counted'), false) AS counted
        FROM material_entry e JOIN operation o ON o.producer_id = e.producer_id AND o.id = e.operation_id
       WHERE e.producer_id = ${producerId}::uuid AND e.material_lot_id = ${id}::uuid AND o.occurred_at > ${at}
         AND NOT is_reversed(o.producer_id, o.id)`;
    return { taken: new Exact(row.taken), counted: row.counted };
  }

  async #where(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<MaterialOnHand[]> {
    const rows = await tx.$queryRaw<Row[]>`
      SELECT l.id, l.code, l.premises_id AS "premisesId", l.owner, l.unit, (${ON_HAND})::text AS "onHand"
        FROM material_lot l
       WHERE l.producer_id = ${producerId}::uuid AND l.operation_id IS NULL AND ${condition}
       ORDER BY l.code, l.id`;
    return rows.map((row) => ({ ...row, onHand: new Exact(row.onHand) }));
  }
}
