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
import { READING_SOURCES } from '../../../production/measuring/readings/readings.dto.js';
import { TrailHead } from '../documents/report-head.dto.js';

const SEQUENCE = { min: 1, max: Number.MAX_SAFE_INTEGER };
const LINK = { max: 200 };

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

export class EvidenceUse {
  @IsId()
  readingId: string;

  @IsPlainText({ max: 30 }, { example: 'final' })
  use: string;

  @IsPlainText(LINK)
  reading: string;

  @ApiPropertyOptional({ type: EvidenceMeasure })
  measuredBy?: EvidenceMeasure;
}

export class EvidenceFinding {
  @IsId()
  id: string;

  @IsPlainText({ max: 60 })
  lotCode: string;

  @IsOneOf(['provisional', 'of-record', 'supporting'])
  standing: string;

  @IsPlainText({ max: 60 })
  methodId: string;

  @IsPlainText({ max: 20 })
  methodVersion: string;

  @IsQuantityOf('fraction')
  strength: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'U at 95 %.' })
  expandedUncertainty: WireQuantity;

  @IsInstant()
  sampledAt: string;

  @ApiProperty({ type: [String], description: 'Findings that this one is computed from, or takes the place of.' })
  basedOn: string[];

  @ApiProperty({ type: [EvidenceUse] })
  readings: EvidenceUse[];

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the certificate that it rests on.' })
  certificate?: string;

  @ApiPropertyOptional({ type: [EvidenceSource], description: 'Of a stated strength.' })
  sources?: EvidenceSource[];

  @IsPlainText(LINK)
  finding: string;
}

export class EvidenceReading {
  @IsId()
  id: string;

  @IsPlainText({ max: 60 })
  lotCode: string;

  @IsPlainText({ max: 40 })
  kind: string;

  @Optional()
  @IsDecimalNumber()
  value?: number;

  @Optional()
  @IsPlainText({ max: 20 }, { description: 'Unit or gravity scale.' })
  unit?: string;

  @Optional()
  @IsQuantityOf('temperature')
  sampleTemperature?: WireQuantity;

  @IsOneOf(READING_SOURCES)
  source: string;

  @IsInstant()
  takenAt: string;

  @Optional()
  @IsId()
  instrumentId?: string;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsPlainText(LINK)
  person?: string;

  @IsPlainText(LINK)
  reading: string;
}

export class EvidenceInstrument {
  @IsId()
  id: string;

  @IsPlainText({ max: 40 })
  kind: string;

  @IsPlainText({ max: 80 }, { description: 'As it was called at that head of the trail.' })
  name: string;

  @Optional()
  @IsPlainText({ max: 60 })
  serialNumber?: string;

  @IsPlainText(LINK)
  instrument: string;
}

export class EvidenceCalibration {
  @IsId()
  id: string;

  @IsId()
  instrumentId: string;

  @IsDateOnly()
  performedOn: string;

  @IsDateOnly()
  validUntil: string;

  @Optional()
  @IsPlainText({ max: 120 })
  certificate?: string;

  @IsPlainText(LINK)
  calibrations: string;
}

/** Operations, and what they rest on: findings, readings, instruments, calibrations. People by their ids alone. */
export class OperationEvidence {
  @ApiProperty({ type: TrailHead, description: 'As the books stood then.' })
  head: TrailHead;

  @ApiProperty({ type: [EvidenceOperation] })
  operations: EvidenceOperation[];

  @ApiProperty({ type: [EvidenceFinding] })
  findings: EvidenceFinding[];

  @ApiProperty({ type: [EvidenceReading] })
  readings: EvidenceReading[];

  @ApiProperty({ type: [EvidenceMaterialLot], description: 'Bought materials with alcohol that these used.' })
  materialLots: EvidenceMaterialLot[];

  @ApiProperty({ type: [EvidenceInstrument] })
  instruments: EvidenceInstrument[];

  @ApiProperty({ type: [EvidenceCalibration] })
  calibrations: EvidenceCalibration[];
}

/** Numbers of the operations of the period from which a figure is summed. */
export class FigureEvidence {
  @IsOneOf(['line', 'category-line', 'stock'])
  figure: 'line' | 'category-line' | 'stock';

  @Optional()
  @IsPlainText({ max: 60 })
  line?: string;

  @Optional()
  @IsPlainText({ max: 120 })
  category?: string;

  @Optional()
  @IsId()
  accountId?: string;

  @ApiProperty({ type: [Number] })
  operations: number[];
}

/** The annex of a period report as data. */
export class PeriodEvidence extends OperationEvidence {
  @IsId()
  periodId: string;

  @ApiProperty({ type: [FigureEvidence] })
  figures: FigureEvidence[];
}
