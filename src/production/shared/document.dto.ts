import { IsDateOnly, IsPlainText } from '../../platform/validation/fields.js';

/** The document that came with goods: an invoice, a delivery note, a movement document. */
export class DocumentReference {
  @IsPlainText({ max: 120 }, { description: 'Its number.', example: 'DN-2026-0417' })
  number: string;

  @IsDateOnly({ description: 'The day that stands on it.' })
  date: string;
}
