import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { ContainerEvent } from './container-events.js';

/** A container with its last event that was not reversed. Decimals as texts. */
export interface ContainerRow {
  readonly serial: string;
  readonly event: ContainerEvent;
  readonly operationId: string;
  readonly occurredAt: Date;
  readonly premisesId: string;
  readonly packagedLotId: string | null;
  readonly litres: string | null;
  readonly counterparty: string | null;
}

export interface ContainerFilter {
  readonly serial?: string;
  readonly packagedLotId?: string;
  readonly premisesId?: string;
  /** Events that a state comes from. */
  readonly events?: readonly ContainerEvent[];
}

/** Reads where containers with serials are. */
@Injectable()
export class ContainerReader {
  page(tx: Tx, producerId: string, filter: ContainerFilter, after: string, take: number): Promise<ContainerRow[]> {
    const { serial = null, packagedLotId = null, premisesId = null, events } = filter;
    return tx.$queryRaw<ContainerRow[]>`
      SELECT x.serial, x.event, x.operation_id AS "operationId", x.occurred_at AS "occurredAt", x.premises_id AS "premisesId",
             x.packaged_lot_id AS "packagedLotId", x.litres::text AS litres, c.text AS counterparty
        FROM (SELECT DISTINCT ON (e.serial COLLATE "C") e.*, o.occurred_at, o.premises_id
                FROM container_event e JOIN operation o ON o.producer_id = e.producer_id AND o.id = e.operation_id
               WHERE e.producer_id = ${producerId}::uuid AND e.serial COLLATE "C" > ${after} AND (${serial}::text IS NULL OR e.serial = ${serial})
                 AND NOT is_reversed(e.producer_id, e.operation_id)
               ORDER BY e.serial COLLATE "C", o.occurred_at DESC, o.sequence DESC) x
        LEFT JOIN movement m ON m.producer_id = x.producer_id AND m.operation_id = x.operation_id
        LEFT JOIN personal_text c ON c.producer_id = m.producer_id AND c.id = m.counterparty_text_id
       WHERE (${packagedLotId}::uuid IS NULL OR x.packaged_lot_id = ${packagedLotId}::uuid)
         AND (${premisesId}::uuid IS NULL OR x.premises_id = ${premisesId}::uuid)
         AND (${events === undefined} OR x.event = ANY (${[...(events ?? [])]}))
       ORDER BY x.serial COLLATE "C" LIMIT ${take}`;
  }
}
