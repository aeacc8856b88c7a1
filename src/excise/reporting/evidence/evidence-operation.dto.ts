import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';

const SEQUENCE = { min: 1, max: Number.MAX_SAFE_INTEGER };
export const LINK = { max: 200 };

/** One instrument that measured, with the calibration that was known when its value was used. */
export class EvidenceMeasure {
  @IsId()
  instrumentId: string;

  @IsPlainText(LINK)
  instrument: string;

  @Optional()
  @IsId()
  calibrationId?: string;

  @Optional()
  @IsPlainText(LINK, { description: "Where the instrument's calibrations are." })
  calibration?: string;
}

/** Source of a stated figure: a document, the certificate of a strength, or the instrument of a volume. */
export class EvidenceSource {
  @IsOneOf(['document', 'certificate', 'instrument'])
  kind: 'document' | 'certificate' | 'instrument';

  @Optional()
  @IsPlainText({ max: 120 })
  number?: string;

  @Optional()
  @IsDateOnly()
  date?: string;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'As the certificate states it.' })
  strength?: WireQuantity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'U as the certificate states it.' })
  expandedUncertainty?: WireQuantity;

  @Optional()
  @IsDecimalNumber({}, { description: 'k as the certificate states it.' })
  coverageFactor?: number;

  @Optional()
  @IsId()
  instrumentId?: string;

  @Optional()
  @IsPlainText(LINK)
  instrument?: string;
}

/** Bought material with alcohol, with the receipt by which it came in. */
export class EvidenceMaterialLot {
  @IsId()
  id: string;

  @IsPlainText({ max: 60 })
  code: string;

  @IsPlainText({ max: 120 })
  material: string;

  @Optional()
  @IsPlainText({ max: 120 })
  supplier?: string;

  @IsQuantityOf('fraction')
  strength: WireQuantity;

  @ApiProperty({
    type: [EvidenceSource],
    description: 'Document and certificate that it came with; none where none was given.',
  })
  sources: EvidenceSource[];

  @IsPlainText(LINK)
  receipt: string;
}

export class EvidenceOperation {
  @IsId()
  id: string;

  @IsWholeNumber(SEQUENCE, { description: "The producer's own number." })
  sequence: number;

  @IsPlainText({ max: 40 })
  kind: string;

  @Optional()
  @IsPlainText({ max: 40 }, { description: 'Of a movement: release, sample, return and so on.', example: 'release' })
  movementKind?: string;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Lot mark and container of what was packed or moved, or the material.' })
  product?: string;

  @Optional()
  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER }, { description: 'Containers.' })
  count?: number;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Who received the goods, or sent them.' })
  recipient?: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsPlainText({ max: 60 })
  lotCode?: string;

  @Optional()
  @IsWholeNumber(SEQUENCE, { description: 'The number of the operation that it reverses.' })
  reverses?: number;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Of a receipt: who sent it.' })
  supplier?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the document that came or went with the goods.' })
  document?: string;

  @ApiProperty({ type: Litres, description: 'Net effect on stock.' })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;

  @ApiProperty({ type: [String], description: 'Ids of the findings that its strengths rest on.' })
  findings: string[];

  @ApiPropertyOptional({
    type: [EvidenceSource],
    description: 'Documents, certificates and instruments of what it states.',
  })
  sources?: EvidenceSource[];

  @ApiPropertyOptional({ type: EvidenceMeasure, description: 'What measured its volume.' })
  measuredBy?: EvidenceMeasure;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsPlainText(LINK)
  person?: string;

  @IsPlainText(LINK)
  operation: string;

  @IsWholeNumber(SEQUENCE, { description: 'The entry of the audit trail that holds it.' })
  trailSequence: number;
}
