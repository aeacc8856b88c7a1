import { Injectable } from '@nestjs/common';
import type { ReceiptRow } from '../operations/receipts/receipt.mapper.js';
import { ReceiptReader } from '../operations/receipts/receipt.reader.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';

export interface MaterialLotName {
  readonly id: string;
  readonly code: string;
  readonly materialId: string;
  readonly material: string;
  readonly supplier: string | null;
  readonly supplierLot: string | null;
  readonly documentNumber: string | null;
  /** YYYY-MM-DD. */
  readonly documentDate: string | null;
  readonly receivedAt: Date;
}

/** Kinds of movement by which goods go to somebody else; own use is what was sold or drunk on the premises. */
export const SENT_OUT = ['release', 'dispatch-suspended', 'export'];
const RECEIVED = [...SENT_OUT, 'own-use'];
export const RETURN = 'return';
/** Kind of movement of goods that were sent and did not arrive. */
export const LOST = 'transit-loss';

/** Movements out that returned goods came from. Litres as texts. */
interface ReturnedFrom {
  readonly by: string;
  readonly releases: readonly { readonly operationId: string; readonly litres: string }[];
}

/** A movement that stands, with who received the goods. */
export interface MovementFact {
  readonly operationId: string;
  readonly kind: string;
  readonly packagedLotId: string | null;
  readonly occurredAt: Date;
  readonly count: number | null;
  readonly litres: number;
  readonly counterparty: string | null;
  readonly document: string | null;
  /** Of a return: the movements out that it came from. */
  readonly returnedFrom: ReturnedFrom | null;
}

/** Reads the names of what a trace found. */
@Injectable()
export class TraceReader {
  constructor(private readonly received: ReceiptReader) {}

  /** Receipts of drink that stand, of these lots. */
  receipts(tx: Tx, producerId: string, lotIds: readonly string[]): Promise<ReceiptRow[]> {
    return this.received.ofLots(tx, producerId, lotIds);
  }

  materialLots(tx: Tx, producerId: string, ids: readonly string[]): Promise<MaterialLotName[]> {
    return tx.$queryRaw<MaterialLotName[]>`
      SELECT m.id, m.code, m.material_id AS "materialId", n.name AS material, m.supplier, m.supplier_lot AS "supplierLot",
             m.document_number AS "documentNumber", m.document_date::text AS "documentDate", m.received_at AS "receivedAt"
        FROM material_lot m JOIN material n ON n.producer_id = m.producer_id AND n.id = m.material_id
       WHERE m.producer_id = ${producerId}::uuid AND m.id = ANY (${[...ids]}::uuid[])
       ORDER BY m.received_at, m.id`;
  }

  async lotCodes(tx: Tx, producerId: string, ids: readonly string[]): Promise<Map<string, string>> {
    const rows = await tx.rows('lot', { producerId, id: ids });
    return new Map(rows.map(({ id, code }) => [id, code]));
  }

  /** Id of the lot with a code, in capital or small letters. */
  async lotOfCode(tx: Tx, producerId: string, code: string): Promise<string | undefined> {
    return (await tx.row('lot', { producerId, code: { anyCase: code } }))?.id;
  }

  async vesselNames(tx: Tx, producerId: string, ids: readonly string[]): Promise<Map<string, string>> {
    const rows = await tx.rows('vessel', { producerId, id: ids });
    return new Map(rows.map(({ id, name }) => [id, name]));
  }

  /** Movements by which somebody received or sent back goods of packaged lots, and those among the operations; none that was reversed. */
  movements(
    tx: Tx,
    producerId: string,
    packagedLots: readonly string[],
    operations: readonly string[],
  ): Promise<MovementFact[]> {
    return tx.$queryRaw<MovementFact[]>`
      SELECT m.operation_id AS "operationId", m.kind, m.packaged_lot_id AS "packagedLotId", o.occurred_at AS "occurredAt", m.count,
             m.litres::float8 AS litres, t.text AS counterparty, m.evidence ->> 'document' AS document,
             o.document -> 'returnedFrom' AS "returnedFrom"
        FROM movement m
        JOIN operation o ON o.producer_id = m.producer_id AND o.id = m.operation_id
        LEFT JOIN personal_text t ON t.producer_id = m.producer_id AND t.id = m.counterparty_text_id
       WHERE m.producer_id = ${producerId}::uuid AND NOT is_reversed(o.producer_id, o.id) AND (m.kind = ANY (${[...RECEIVED, RETURN]}) OR o.document ? 'lostFrom')
         AND (m.packaged_lot_id = ANY (${[...packagedLots]}::uuid[]) OR m.operation_id = ANY (${[...operations]}::uuid[]))
       ORDER BY o.occurred_at, o.sequence`;
  }

  /** Litres on hand by packaged lot. */
  async onHand(tx: Tx, producerId: string, packagedLots: readonly string[]): Promise<Map<string, number>> {
    const rows = await tx.$queryRaw<{ id: string; litres: number }[]>`
      SELECT a.packaged_lot_id AS id, sum(b.litres)::float8 AS litres
        FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
       WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock' AND a.packaged_lot_id = ANY (${[...packagedLots]}::uuid[])
       GROUP BY a.packaged_lot_id`;
    return new Map(rows.map(({ id, litres }) => [id, litres]));
  }
}
