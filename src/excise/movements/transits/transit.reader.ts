import { Injectable } from '@nestjs/common';
import { inDays } from '../../../platform/database/day-filter.js';
import type { DayFilter } from '../../../platform/pagination.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../../generated/prisma/client.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import type { TransitState, Transit } from './transits.dto.js';

/** A consignment between premises as it is kept, with its arrival if there is one that stands. Decimals as texts. */
export interface TransitRow {
  readonly id: string;
  /** Of packed goods. */
  readonly packagedLotId: string | null;
  readonly lotId: string;
  readonly compositionId: string;
  readonly dutyStatus: string;
  readonly fromPremisesId: string;
  readonly toPremisesId: string;
  readonly occurredAt: Date;
  readonly count: number | null;
  readonly serials: readonly string[] | null;
  readonly litres: string;
  readonly document: string;
  readonly reversed: boolean;
  readonly arrivalId: string | null;
  readonly arrivedAt: Date | null;
  readonly arrivedCount: number | null;
  /** Of bulk: the composition that it became. */
  readonly arrivedCompositionId: string | null;
  readonly lossLitres: string | null;
  readonly arrivalReason: string | null;
}

export function stateOf({ reversed, arrivalId }: TransitRow): TransitState {
  if (reversed) {
    return 'reversed';
  }
  return arrivalId === null ? 'on-the-way' : 'arrived';
}

export function toTransit(row: TransitRow): Transit {
  const { id, packagedLotId, fromPremisesId, toPremisesId, count, document, arrivalId, arrivedAt } = row;
  return {
    id,
    ...given({ packagedLotId, count }),
    lotId: row.lotId,
    compositionId: row.compositionId,
    dutyStatus: row.dutyStatus,
    fromPremisesId,
    toPremisesId,
    occurredAt: row.occurredAt.toISOString(),
    litres: toLitres(row.litres),
    document,
    state: stateOf(row),
    ...(arrivalId === null || arrivedAt === null
      ? {}
      : {
          arrival: {
            operationId: arrivalId,
            occurredAt: arrivedAt.toISOString(),
            loss: toLitres(row.lossLitres ?? '0'),
            ...given({
              count: row.arrivedCount,
              compositionId: row.arrivedCompositionId,
              reasonCode: row.arrivalReason,
            }),
          },
        }),
  };
}

export interface TransitFilter extends DayFilter {
  readonly state?: TransitState;
  /** Of the sender or of the receiver. */
  readonly premisesId?: string;
  readonly lotId?: string;
  readonly packagedLotId?: string;
}

/** Reads what went from one premises to another. */
@Injectable()
export class TransitReader {
  async row(tx: Tx, producerId: string, id: string): Promise<TransitRow | undefined> {
    const rows = await this.#where(tx, producerId, Prisma.sql`t.operation_id = ${id}::uuid`, 1);
    return rows.at(0);
  }

  page(tx: Tx, producerId: string, filter: TransitFilter, after: string | null, take: number): Promise<TransitRow[]> {
    const { state = null, premisesId = null, lotId = null, packagedLotId = null } = filter;
    const condition = Prisma.sql`(${after}::uuid IS NULL OR t.operation_id > ${after}::uuid)
      AND (${state}::text IS NULL OR ${state} = CASE WHEN is_reversed(t.producer_id, t.operation_id) THEN 'reversed'
                                                     WHEN r.id IS NULL THEN 'on-the-way' ELSE 'arrived' END)
      AND (${premisesId}::uuid IS NULL OR ${premisesId}::uuid IN (t.from_premises_id, t.to_premises_id))
      AND (${lotId}::uuid IS NULL OR o.lot_id = ${lotId}::uuid)
      AND (${packagedLotId}::uuid IS NULL OR t.packaged_lot_id = ${packagedLotId}::uuid)
      AND ${inDays(Prisma.sql`o.occurred_at`, Prisma.sql`z.time_zone`, filter)}`;
    return this.#where(tx, producerId, condition, take);
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql, take: number): Promise<TransitRow[]> {
    return tx.$queryRaw<TransitRow[]>`
      SELECT t.operation_id AS id, t.packaged_lot_id AS "packagedLotId", o.lot_id AS "lotId", o.composition_id AS "compositionId",
             a.duty_status AS "dutyStatus", t.from_premises_id AS "fromPremisesId", t.to_premises_id AS "toPremisesId",
             o.occurred_at AS "occurredAt", t.count, o.document -> 'serials' AS serials, t.litres::text AS litres, t.document, is_reversed(t.producer_id, t.operation_id) AS reversed,
             r.id AS "arrivalId", r.occurred_at AS "arrivedAt", (r.document ->> 'count')::int AS "arrivedCount",
             r.document ->> 'compositionId' AS "arrivedCompositionId",
             r.document ->> 'lossLitres' AS "lossLitres", r.reason_code AS "arrivalReason"
        FROM transit t
        JOIN operation o ON o.producer_id = t.producer_id AND o.id = t.operation_id
        JOIN premises z ON z.producer_id = o.producer_id AND z.id = o.premises_id
        JOIN account a ON a.producer_id = t.producer_id AND a.transit_id = t.operation_id
        LEFT JOIN LATERAL (
          SELECT q.* FROM posting p JOIN operation q ON q.producer_id = p.producer_id AND q.sequence = p.operation_sequence
           WHERE p.producer_id = a.producer_id AND p.account_id = a.id
             AND q.kind = 'transit-arrival' AND NOT is_reversed(q.producer_id, q.id)
           LIMIT 1) r ON true
       WHERE t.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY t.operation_id LIMIT ${take}`;
  }
}
