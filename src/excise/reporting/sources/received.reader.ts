import { Injectable } from '@nestjs/common';
import type { FlowLine } from '../../../ledger/figures/flow.reader.js';
import { FlowReader } from '../../../ledger/figures/flow.reader.js';
import type { Span } from '../../../ledger/figures/span.js';
import type { ReceiptFacts } from '../../../production/operations/receipts/receipt.mapper.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { RECEIVED_LINES } from '../documents/received.dto.js';

/** Names and document of a receipt. */
export interface ReceivedFacts {
  readonly operationId: string;
  readonly product: string;
  readonly supplier: string | null;
  readonly documentNumber: string | null;
  /** YYYY-MM-DD. */
  readonly documentDate: string | null;
  /** Of drink. */
  readonly receipt: ReceiptFacts | null;
}

/** An entry on a line of receipts, with the facts of the receipt where they are known. */
export interface ReceivedRow {
  readonly entry: FlowLine;
  readonly facts: ReceivedFacts | undefined;
}

/** Reads what came in from others in a period. */
@Injectable()
export class ReceivedReader {
  constructor(private readonly flows: FlowReader) {}

  async of(tx: Tx, producerId: string, span: Span): Promise<ReceivedRow[]> {
    const entries = await this.flows.lines(tx, producerId, span, RECEIVED_LINES);
    const ids = entries.flatMap(({ operationId, reverses }) => [operationId, ...(reverses === null ? [] : [reverses])]);
    const materials = entries.flatMap(({ materialLotId }) => (materialLotId === null ? [] : [materialLotId]));
    const facts = await tx.$queryRaw<ReceivedFacts[]>`
      SELECT o.id AS "operationId", coalesce(k.lot_mark, l.code, '') AS product, o.document -> 'receipt' ->> 'supplier' AS supplier,
             o.document #>> '{receipt,document,number}' AS "documentNumber", o.document #>> '{receipt,document,date}' AS "documentDate",
             o.document -> 'receipt' AS receipt
        FROM operation o
        LEFT JOIN lot l ON l.producer_id = o.producer_id AND l.id = o.lot_id
        LEFT JOIN packaged_lot k ON k.producer_id = o.producer_id AND k.operation_id = o.id
       WHERE o.producer_id = ${producerId}::uuid AND o.id = ANY (${ids}::uuid[]) AND o.document ? 'receipt'
      UNION ALL
      SELECT m.id, t.name || ' ' || m.code, m.supplier, m.document_number, m.document_date::text, NULL
        FROM material_lot m JOIN material t ON t.producer_id = m.producer_id AND t.id = m.material_id
       WHERE m.producer_id = ${producerId}::uuid AND m.id = ANY (${materials}::uuid[])`;
    const byId = new Map(facts.map((each) => [each.operationId, each]));
    return entries.map((entry) => ({
      entry,
      facts: byId.get(entry.materialLotId ?? entry.operationId) ?? byId.get(entry.reverses ?? ''),
    }));
  }
}
