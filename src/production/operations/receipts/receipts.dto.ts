import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import type { NominalKind } from '../../../ledger/books/account.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { DayQuery } from '../../../platform/pagination.js';
import { Nested, Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsQueryFlag,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { DocumentReference } from '../../shared/document.dto.js';
import { EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { MOST_SERIALS } from '../containers/container-events.js';
import { CONTAINERS, DISPENSE } from '../packaging/packaging.dto.js';

/** Ways in which drink came in; each is a line of the period report. */
export const RECEIPT_KINDS = [
  'received-suspended',
  'imported',
  'received-duty-paid',
] as const satisfies readonly NominalKind[];
export type ReceiptKind = (typeof RECEIPT_KINDS)[number];

const DUTY_STATUSES = ['suspended', 'paid'] as const;
const MOST_CONTAINERS = 10_000_000;
const VOLUME = { min: 0, max: 1_000_000, maxDecimals: 6 };

export class ReceivedPackaged {
  @IsOneOf(CONTAINERS, { example: 'bottle' })
  container: (typeof CONTAINERS)[number];

  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 10_000, maxDecimals: 6 },
    { description: 'On the label of one container.', example: { value: 500, unit: 'mL' } },
  )
  nominalVolume: WireQuantity;

  @IsWholeNumber(
    { min: 0, max: MOST_CONTAINERS },
    { description: 'Containers that were taken in; 0 where all were refused.', example: 238 },
  )
  count: number;

  @Optional()
  @IsWholeNumber(
    { min: 0, max: MOST_CONTAINERS },
    { description: 'Containers by the document; those taken in and refused if left out.', example: 240 },
  )
  documentedCount?: number;

  @Optional()
  @IsWholeNumber({ min: 1, max: MOST_CONTAINERS }, { description: 'Containers that arrived and were sent back.' })
  refusedCount?: number;

  @IsPlainText({ max: 60 }, { description: 'Lot mark of the maker.', example: 'W-2291' })
  lotMark: string;

  @IsQuantityOf('fraction', { min: 0, max: 100, maxDecimals: 3 }, { description: 'On the label.' })
  declaredStrength: WireQuantity;

  @Optional()
  @IsOneOf(DISPENSE, { description: 'How a large container is dispensed; some laws ask.' })
  dispense?: (typeof DISPENSE)[number];

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    { description: 'A serial for each container that was taken in, where they are followed one by one.' },
  )
  serials?: string[];

  @Optional()
  @IsDateOnly({ description: 'Day of packing as the maker states it; the date of the document if left out.' })
  packagedOn?: string;
}

export class ReceivedBulk {
  @IsId({ description: 'The empty vessel that it went into.' })
  vesselId: string;

  @IsQuantityOf('volume', VOLUME, {
    description: 'Taken in, as measured, at 20 °C; 0 where all was refused.',
    example: { value: 498, unit: 'L' },
  })
  volume: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of the volume; ± 1 % rectangular if left out.' },
  )
  standardUncertainty?: WireQuantity;

  @Optional()
  @IsQuantityOf('volume', VOLUME, { description: 'By the document; what was taken in and refused if left out.' })
  documentedVolume?: WireQuantity;

  @Optional()
  @IsQuantityOf('volume', { ...VOLUME, aboveMin: true }, { description: 'What arrived and was sent back.' })
  refusedVolume?: WireQuantity;

  @Optional()
  @IsDecimalNumber(
    { min: -5, max: 60, maxDecimals: 6 },
    { description: 'Real extract by the document, °P; a dilution or blend needs it to compute the volume.' },
  )
  realExtract?: number;
}

export class NewReceipt extends EventBody {
  @IsOneOf(RECEIPT_KINDS, {
    description:
      'How it came in: from another producer under suspension, imported, or bought with its duty paid. Each is a line of the period report.',
    example: 'received-suspended',
  })
  kind: ReceiptKind;

  @IsId({ description: 'Where it came in.' })
  premisesId: string;

  @IsPlainText({ max: 120 }, { description: 'The business that sent it.', example: 'Weir Brewery (invented)' })
  supplier: string;

  @Nested(() => DocumentReference, { description: 'The document that came with it.' })
  document: DocumentReference;

  @Optional()
  @IsOneOf(DUTY_STATUSES, {
    description:
      'Duty status that it enters with: needed for an import only (suspended if left out). The other two kinds say it themselves.',
  })
  dutyStatus?: (typeof DUTY_STATUSES)[number];

  @Optional()
  @IsId({
    description:
      'The lot that it is from now on: create it first, with its category and owner. Left out only where all was refused.',
  })
  lotId?: string;

  @Optional()
  @Nested(() => ReceivedPackaged, { description: 'Either packaged or bulk.' })
  packaged?: ReceivedPackaged;

  @Optional()
  @Nested(() => ReceivedBulk, { description: 'Either packaged or bulk.' })
  bulk?: ReceivedBulk;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 6 },
    { description: 'By the document, at 20 °C. Bulk needs it; for packaged goods the declared one if left out.' },
  )
  strength?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 10, maxDecimals: 6 },
    { description: 'U of the strength as the document states it; with `coverageFactor`.' },
  )
  expandedUncertainty?: WireQuantity;

  @Optional()
  @IsDecimalNumber(
    { min: 0.001, max: 20, maxDecimals: 6 },
    { description: 'k of U as the document states it. Both left out: ± 0.3 % vol rectangular.', example: 2 },
  )
  coverageFactor?: number;

  @Optional()
  @IsDecimalNumber(
    { min: 0, max: 100, maxDecimals: 6, unit: '%' },
    { description: 'Share of its alcohol that was added and not fermented, %; 0 if left out.' },
  )
  addedShare?: number;
}

export class ReceiptQuery extends DayQuery {
  @Optional()
  @IsOneOf(RECEIPT_KINDS, { description: 'Only those of this kind.' })
  kind?: string;

  @Optional()
  @IsId({ description: 'Only those at these premises.' })
  premisesId?: string;

  @Optional()
  @IsId({ description: 'Only those of this lot.' })
  lotId?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Only those from this supplier, in capital or small letters.' })
  supplier?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Only those under this document number.' })
  documentNumber?: string;

  @Optional()
  @IsQueryFlag({ description: 'true: only those that differ from their document.' })
  differs?: boolean;
}

/** Difference of what arrived from what the document says. By the document = taken in + refused + short − over. */
export class ReceiptDiscrepancy {
  @ApiProperty({ type: Litres, description: 'By the document.' })
  documented: Litres;

  @Optional()
  @IsWholeNumber({ min: 0, max: MOST_CONTAINERS }, { description: 'Containers by the document.' })
  documentedCount?: number;

  @ApiPropertyOptional({ type: Litres, description: 'Arrived and was sent back.' })
  refused?: Litres;

  @ApiPropertyOptional({ type: Litres, description: 'Stands in the document and did not arrive.' })
  short?: Litres;

  @ApiPropertyOptional({ type: Litres, description: 'Arrived beyond the document, and was taken in.' })
  over?: Litres;
}

export class Receipt {
  @IsId({ description: 'The operation that posted it.' })
  id: string;

  @IsOneOf(RECEIPT_KINDS)
  kind: ReceiptKind;

  @IsId()
  premisesId: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsInstant({ description: 'When it was entered; not in the answer to the entry itself.' })
  recordedAt?: string;

  @IsPlainText({ max: 120 })
  supplier: string;

  @Nested(() => DocumentReference)
  document: DocumentReference;

  @IsOneOf(DUTY_STATUSES)
  dutyStatus: string;

  @Optional()
  @IsId({ description: 'Left out where all was refused, as are the composition and the packaged lot.' })
  lotId?: string;

  @Optional()
  @IsId()
  compositionId?: string;

  @Optional()
  @IsId({ description: 'Of packaged goods.' })
  packagedLotId?: string;

  @Optional()
  @IsId({ description: 'Of bulk: the vessel that it went into.' })
  vesselId?: string;

  @Optional()
  @IsWholeNumber({ min: 0, max: MOST_CONTAINERS }, { description: 'Containers that were taken in.' })
  count?: number;

  @Optional()
  @IsListOf(textRule({ max: 60 }), { max: MOST_SERIALS })
  serials?: string[];

  @ApiProperty({ type: Litres, description: 'Taken in.' })
  litres: Litres;

  @ApiProperty({ type: Litres, description: 'In it, as the books took it.' })
  litresOfPureAlcohol: Litres;

  @IsQuantityOf('fraction', {}, { description: 'By the document.' })
  strength: WireQuantity;

  @IsQuantityOf('fraction')
  expandedUncertainty: WireQuantity;

  @IsDecimalNumber({ min: 0 })
  coverageFactor: number;

  @ApiPropertyOptional({ type: ReceiptDiscrepancy, description: 'Only where what arrived differs from the document.' })
  discrepancy?: ReceiptDiscrepancy;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true }, { description: 'Not in the answer to the entry itself.' })
  note?: string;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsFlag({ description: 'It was reversed: it counts no more.' })
  reversed?: boolean;
}

export class ReceiptPage extends ListOf(Receipt) {}
