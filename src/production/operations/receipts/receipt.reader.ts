import { Injectable } from '@nestjs/common';
import { Prisma } from '../../../generated/prisma/client.js';
import { inDays, isNamed } from '../../../platform/database/day-filter.js';
import type { DayFilter } from '../../../platform/pagination.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { ReceiptRow } from './receipt.mapper.js';

/** Kind of the operation that takes drink in. */
export const DRINK_RECEIPT = 'drink-receipt';

export interface ReceiptFilter extends DayFilter {
  readonly kind?: string;
  readonly premisesId?: string;
  readonly lotId?: string;
  readonly supplier?: string;
  readonly documentNumber?: string;
  readonly differs?: boolean;
}

/** Reads receipts of drink. */
@Injectable()
export class ReceiptReader {
  async row(tx: Tx, producerId: string, id: string): Promise<ReceiptRow | undefined> {
    return (await this.#where(tx, producerId, Prisma.sql`o.id = ${id}::uuid`, 1)).at(0);
  }

  page(tx: Tx, producerId: string, filter: ReceiptFilter, after: number, take: number): Promise<ReceiptRow[]> {
    const { kind = null, premisesId = null, lotId = null, supplier, documentNumber = null, differs } = filter;
    const facts = Prisma.sql`o.document -> 'receipt'`;
    const condition = Prisma.sql`o.sequence > ${after}
      AND (${kind}::text IS NULL OR ${facts} ->> 'kind' = ${kind}) AND (${premisesId}::uuid IS NULL OR o.premises_id = ${premisesId}::uuid)
      AND (${lotId}::uuid IS NULL OR o.lot_id = ${lotId}::uuid) AND ${isNamed(Prisma.sql`(${facts} ->> 'supplier')`, supplier)}
      AND (${documentNumber}::text IS NULL OR ${facts} -> 'document' ->> 'number' = ${documentNumber})
      AND (${differs !== true} OR (${facts} ->> 'documentedLitres')::numeric <> (${facts} ->> 'litres')::numeric)
      AND ${inDays(Prisma.sql`o.occurred_at`, Prisma.sql`z.time_zone`, filter)}`;
    return this.#where(tx, producerId, condition, take);
  }

  /** Those that stand of these lots, in the order of the books. */
  async ofLots(tx: Tx, producerId: string, lotIds: readonly string[]): Promise<ReceiptRow[]> {
    if (lotIds.length === 0) return [];
    const rows = await this.#where(tx, producerId, Prisma.sql`o.lot_id = ANY (${[...lotIds]}::uuid[])`, null);
    return rows.filter(({ reversed }) => !reversed);
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql, take: number | null): Promise<ReceiptRow[]> {
    return tx.$queryRaw<ReceiptRow[]>`
      SELECT o.id, o.sequence, o.premises_id AS "premisesId", o.occurred_at AS "occurredAt", o.recorded_at AS "recordedAt",
             o.lot_id AS "lotId", o.composition_id AS "compositionId", o.document ->> 'packagedLotId' AS "packagedLotId",
             o.document ->> 'vesselId' AS "vesselId", (o.document ->> 'count')::int AS count, o.document -> 'serials' AS serials,
             o.document -> 'receipt' AS facts, n.text AS note, o.person_id AS "personId", is_reversed(o.producer_id, o.id) AS reversed
        FROM operation o
        JOIN premises z ON z.producer_id = o.producer_id AND z.id = o.premises_id
        LEFT JOIN personal_text n ON n.producer_id = o.producer_id AND n.id = o.note_text_id
       WHERE o.producer_id = ${producerId}::uuid AND o.kind = ${DRINK_RECEIPT} AND ${condition}
       ORDER BY o.sequence LIMIT ${take}`;
  }
}
