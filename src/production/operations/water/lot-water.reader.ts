import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** Water salt that went into a lot, as its operation has it. */
export interface SaltInLot {
  readonly operationId: string;
  readonly kind: 'charge' | 'addition';
  readonly occurredAt: Date;
  readonly materialLotId: string;
  readonly waterSalt: string;
  readonly mass: { readonly value: number; readonly unit: string };
  /** Litres in the vessel after it. */
  readonly litres: number;
}

/** Reads the water salts that went into a lot. */
@Injectable()
export class LotWaterReader {
  /** In the order of their moments; what was reversed is left out. */
  salts(tx: Tx, producerId: string, lotId: string): Promise<SaltInLot[]> {
    return tx.$queryRaw<SaltInLot[]>`
      SELECT o.id AS "operationId", o.kind, o.occurred_at AS "occurredAt", l.id AS "materialLotId", m.details ->> 'waterSalt' AS "waterSalt",
             used -> 'mass' AS mass,
             (SELECT coalesce(sum(p.litres), 0)::float8 FROM account a
                JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id AND p.occurred_at <= o.occurred_at
               WHERE a.producer_id = o.producer_id AND a.side = 'stock' AND a.composition_id = o.composition_id
                 AND a.vessel_id = (o.document ->> 'vesselId')::uuid) AS litres
        FROM operation o
        CROSS JOIN LATERAL jsonb_array_elements(o.document -> 'materials') AS used
        JOIN material_lot l ON l.producer_id = o.producer_id AND l.id = (used ->> 'materialLotId')::uuid
        JOIN material m ON m.producer_id = l.producer_id AND m.id = l.material_id
       WHERE o.producer_id = ${producerId}::uuid AND o.lot_id = ${lotId}::uuid AND o.kind IN ('charge', 'addition')
         AND m.details ? 'waterSalt' AND used ? 'mass' AND NOT is_reversed(o.producer_id, o.id)
       ORDER BY o.occurred_at, o.sequence`;
  }

  /** Kinds of the changes after which the ions in a litre are others, at or after a moment. */
  async changesSince(tx: Tx, producerId: string, lotId: string, since: Date): Promise<string[]> {
    const rows = await tx.$queryRaw<{ kind: string }[]>`
      SELECT DISTINCT c.kind FROM composition c
       WHERE c.producer_id = ${producerId}::uuid AND c.lot_id = ${lotId}::uuid AND c.kind IN ('dilution', 'blend', 'mixture')
         AND c.opened_at >= ${since.toISOString()}::timestamptz AND NOT is_reversed(c.producer_id, c.operation_id)
       ORDER BY c.kind`;
    return rows.map(({ kind }) => kind);
  }
}
