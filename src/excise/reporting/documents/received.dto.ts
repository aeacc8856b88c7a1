import { ApiPropertyOptional } from '@nestjs/swagger';
import type { NominalKind } from '../../../ledger/books/account.js';
import { Figures } from '../../../ledger/books/litres.dto.js';
import { Nested, Optional } from '../../../platform/validation/field.js';
import { IsDateOnly, IsId, IsInstant, IsOneOf, IsPlainText } from '../../../platform/validation/fields.js';
import { RECEIPT_KINDS, ReceiptDiscrepancy } from '../../../production/operations/receipts/receipts.dto.js';
import { DocumentReference } from '../../../production/shared/document.dto.js';

/** Lines of what came in from others: material lots with alcohol, and drink. */
export const RECEIVED_LINES = ['receipts', ...RECEIPT_KINDS] as const satisfies readonly NominalKind[];

/** One receipt of a material with alcohol or of drink, or what puts one right. */
export class ReceivedEntry extends Figures {
  @IsOneOf(RECEIVED_LINES)
  line: string;

  @IsId()
  operationId: string;

  @IsPlainText({ max: 40 })
  operationKind: string;

  @IsInstant()
  occurredAt: string;

  @IsDateOnly({ description: 'Local day of the premises.' })
  day: string;

  @IsPlainText({ max: 120 })
  category: string;

  @IsPlainText({ max: 200 }, { description: 'Material and code of its lot, lot mark of packed drink, or lot.' })
  product: string;

  @IsOneOf(['suspended', 'paid'])
  dutyStatus: string;

  @Optional()
  @IsPlainText({ max: 120 })
  supplier?: string;

  @Optional()
  @Nested(() => DocumentReference)
  document?: DocumentReference;

  @ApiPropertyOptional({ type: ReceiptDiscrepancy, description: 'Where what arrived differs from the document.' })
  discrepancy?: ReceiptDiscrepancy;

  @Optional()
  @IsId({ description: 'The operation that it reverses.' })
  reverses?: string;

  @IsPlainText({ max: 200 }, { description: 'Where the operations behind the figure are.' })
  operations: string;
}
