import { Injectable } from '@nestjs/common';
import { Prisma } from '../../../generated/prisma/client.js';
import { Exact } from '../../../metrology/decimals.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { ContainerEvent, FollowedLot } from './container-events.js';
import { STATES } from './container-states.js';

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

/**
 * The last event of each container that was not reversed. A stock-take that missed one which had gone out by then, as was entered afterwards,
 * says nothing of it.
 */
const lastEvents = (producerId: string, condition: Prisma.Sql): Prisma.Sql => Prisma.sql`
  SELECT DISTINCT ON (z.serial COLLATE "C") z.* FROM (
    SELECT e.*, o.occurred_at, o.sequence, o.premises_id, coalesce(o.document ->> 'dutyStatus', 'suspended') AS duty_status,
           lag(e.event) OVER (PARTITION BY e.serial ORDER BY o.occurred_at, o.sequence) AS before
      FROM container_event e JOIN operation o ON o.producer_id = e.producer_id AND o.id = e.operation_id
     WHERE e.producer_id = ${producerId}::uuid AND NOT is_reversed(e.producer_id, e.operation_id) AND ${condition}) z
   WHERE NOT (z.event = 'missing' AND z.before IN ('out', 'emptied'))
   ORDER BY z.serial COLLATE "C", z.occurred_at DESC, z.sequence DESC`;

/** Premises, duty status and moment that containers are asked for. */
export interface ContainerPlace {
  readonly premisesId: string;
  readonly dutyStatus: string;
  readonly at: Date;
}

/** Containers of a packaged lot at a moment; undefined where it was filled without serials. */
export async function followedLot(
  tx: Tx,
  producerId: string,
  lot: { readonly id: string; readonly lotMark: string; readonly container: string; readonly bySerial: boolean },
  { premisesId, dutyStatus, at }: ContainerPlace,
): Promise<FollowedLot | undefined> {
  if (!lot.bySerial) {
    return undefined;
  }
  const rows = await tx.$queryRaw<
    { serial: string; event: ContainerEvent; litres: string; premisesId: string; dutyStatus: string }[]
  >`
    SELECT x.serial, x.event, coalesce(x.litres, 0)::text AS litres, x.premises_id AS "premisesId", x.duty_status AS "dutyStatus"
      FROM (${lastEvents(
        producerId,
        Prisma.sql`o.occurred_at <= ${at}::timestamptz AND e.serial IN (
          SELECT y.serial FROM container_event y WHERE y.producer_id = ${producerId}::uuid AND y.packaged_lot_id = ${lot.id}::uuid)`,
      )}) x
     WHERE x.packaged_lot_id = ${lot.id}::uuid`;
  const inStock = rows.filter(({ event }) => STATES[event] === 'in-stock');
  const litresOf = (some: typeof rows) => new Map(some.map(({ serial, litres }) => [serial, new Exact(litres)]));
  return {
    lotMark: lot.lotMark,
    container: lot.container,
    contents: litresOf(inStock),
    lastLitres: litresOf(rows),
    here: inStock
      .filter((row) => row.premisesId === premisesId && row.dutyStatus === dutyStatus)
      .map(({ serial }) => serial),
  };
}

/** Reads where containers with serials are. */
@Injectable()
export class ContainerReader {
  page(tx: Tx, producerId: string, filter: ContainerFilter, after: string, take: number): Promise<ContainerRow[]> {
    const { serial = null, packagedLotId = null, premisesId = null, events } = filter;
    return tx.$queryRaw<ContainerRow[]>`
      SELECT x.serial, x.event, x.operation_id AS "operationId", x.occurred_at AS "occurredAt", x.premises_id AS "premisesId",
             x.packaged_lot_id AS "packagedLotId", x.litres::text AS litres, c.text AS counterparty
        FROM (${lastEvents(producerId, Prisma.sql`e.serial COLLATE "C" > ${after} AND (${serial}::text IS NULL OR e.serial = ${serial})`)}) x
        LEFT JOIN movement m ON m.producer_id = x.producer_id AND m.operation_id = x.operation_id
        LEFT JOIN personal_text c ON c.producer_id = m.producer_id AND c.id = m.counterparty_text_id
       WHERE (${packagedLotId}::uuid IS NULL OR x.packaged_lot_id = ${packagedLotId}::uuid)
         AND (${premisesId}::uuid IS NULL OR x.premises_id = ${premisesId}::uuid)
         AND (${events === undefined} OR x.event = ANY (${[...(events ?? [])]}))
       ORDER BY x.serial COLLATE "C" LIMIT ${take}`;
  }
}
