import { Injectable } from '@nestjs/common';
import { toExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { MetrologyError } from '../../../metrology/problem.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../../generated/prisma/client.js';
import type { LotPosition } from './lot-position.js';

/** A reading as a finding rests on it. */
export interface BasisReading {
  readonly id: string;
  readonly lotId: string;
  readonly compositionId: string | null;
  readonly kind: string;
  readonly value: number | null;
  /** Unit or gravity scale. */
  readonly unit: string | null;
  readonly temperatureC: number | null;
  readonly instrumentId: string | null;
  readonly instrumentKind: string | null;
  readonly takenAt: Date;
  readonly struck: boolean;
}

/** Reads readings for findings and for what a wort weighs. */
@Injectable()
export class GravityReadings {
  /** Gravities of a lot that are not struck, oldest first. */
  async ofLot(tx: Tx, producerId: string, lotId: string): Promise<BasisReading[]> {
    const rows = await this.#where(tx, producerId, Prisma.sql`r.lot_id = ${lotId}::uuid AND r.kind = 'gravity'`);
    return rows.filter(({ struck }) => !struck);
  }

  ofIds(tx: Tx, producerId: string, ids: readonly string[]): Promise<BasisReading[]> {
    return this.#where(tx, producerId, Prisma.sql`r.id = ANY (${ids}::uuid[])`);
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<BasisReading[]> {
    return tx.$queryRaw<BasisReading[]>`
      SELECT r.id, r.lot_id AS "lotId", r.composition_id AS "compositionId", r.kind, r.value::float8 AS value, r.unit,
             r.temperature_c::float8 AS "temperatureC", r.instrument_id AS "instrumentId", i.kind AS "instrumentKind", r.taken_at AS "takenAt",
             s.reading_id IS NOT NULL AS struck
        FROM reading r LEFT JOIN reading_strike s ON s.producer_id = r.producer_id AND s.reading_id = r.id
        LEFT JOIN instrument i ON i.producer_id = r.producer_id AND i.id = r.instrument_id
       WHERE r.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY r.taken_at, r.id`;
  }
}

/** Extract that the latest gravity shows, or else the recipe expects, °P; for how a wort expands, not for any strength. */
export function extractOfLot(position: LotPosition, gravities: readonly BasisReading[]): number | undefined {
  const latest = gravities.at(-1);
  if (latest?.value == null || latest.unit === null) {
    return position.lot.expectedExtractPlato;
  }
  try {
    return toExtract({ value: latest.value, scale: latest.unit as GravityScale }).extractPlato;
  } catch (error) {
    if (error instanceof MetrologyError) {
      return position.lot.expectedExtractPlato;
    }
    throw error;
  }
}
