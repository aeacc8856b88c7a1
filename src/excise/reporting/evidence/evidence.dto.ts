import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
} from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';
import { READING_SOURCES } from '../../../production/measuring/readings/readings.dto.js';
import { TrailHead } from '../documents/report-head.dto.js';
import {
  LINK,
  EvidenceMeasure,
  EvidenceSource,
  EvidenceMaterialLot,
  EvidenceOperation,
} from './evidence-operation.dto.js';

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
