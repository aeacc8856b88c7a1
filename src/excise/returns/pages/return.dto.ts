import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { STAGES } from '../../../ledger/figures/stages.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { Flag } from '../../../production/shared/flag.dto.js';
import { SourceReference } from '../../duty/rule-sets/rule-sets.dto.js';
import { IsDecimalText } from '../../reporting/documents/duty-values.dto.js';
import { DUTY_STATUSES } from '../../reporting/documents/report-figures.dto.js';
import { ReportPeriod, ReportPremises, ReportProducer } from '../../reporting/documents/report-head.dto.js';
import { RETURN_UNIT_NAMES } from '../rules/mapping.js';

export const RETURN_FORMATS = ['json', 'csv', 'pdf'] as const;
export type ReturnFormat = (typeof RETURN_FORMATS)[number];

export class ReturnMappingVersion {
  @IsId()
  id: string;

  @IsPlainText({ max: 120 })
  name: string;

  @IsWholeNumber({ min: 1, max: 2147483647 })
  number: number;

  @IsPlainText({ max: 200 })
  formTitle: string;

  @ApiProperty({ type: [SourceReference] })
  sources: SourceReference[];
}

export class ReturnColumn {
  @IsPlainText({ max: 20 })
  code: string;

  @IsPlainText({ max: 60 })
  label: string;

  @Optional()
  @IsOneOf(RETURN_UNIT_NAMES)
  unit?: string;
}

export class ReturnValue {
  @Optional()
  @IsPlainText({ max: 20 })
  column?: string;

  @Optional()
  @IsDecimalNumber({ min: 0, max: 100 }, { description: 'Degrees Plato, where the line has a row for each.' })
  degree?: number;

  @IsDecimalText('Before its rounding.')
  exact: string;

  @IsDecimalText('As it is filed.')
  value: string;
}

export class ReturnLine {
  @IsPlainText({ max: 20 })
  line: string;

  @IsPlainText({ max: 200 })
  label: string;

  @IsOneOf(RETURN_UNIT_NAMES, { description: 'Unit of values whose column has none of its own.' })
  unit: string;

  @Optional()
  @IsPlainText({ max: 300 })
  note?: string;

  @IsFlag({ description: 'true: it is made of other lines of the form.' })
  computed: boolean;

  @ApiProperty({ type: [ReturnValue], description: 'By column; none where no degree occurred.' })
  values: ReturnValue[];
}

/** Two sides of the form that have to be equal. */
export class ReturnTie {
  @ApiProperty({ type: [String] })
  left: string[];

  @ApiProperty({ type: [String] })
  right: string[];

  @Optional()
  @IsPlainText({ max: 20 })
  column?: string;

  @IsDecimalText('Right less left of the exact values.')
  difference: string;

  @IsDecimalText('Right less left as printed: what rounding makes of it.')
  printedDifference: string;

  @IsFlag({ description: 'The exact values are equal.' })
  balances: boolean;
}

/** A figure of the report that no line of the form takes. */
export class UnmappedFigure {
  @IsPlainText({ max: 60 }, { description: 'A figure of the books, or a part of the duty.' })
  figure: string;

  @IsPlainText({ max: 120 })
  category: string;

  @Optional()
  @IsOneOf(STAGES)
  stage?: string;

  @Optional()
  @IsOneOf(DUTY_STATUSES)
  dutyStatus?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  band?: string;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;

  @ApiPropertyOptional({ type: 'string', description: 'Indicated duty, in the currency of the report.' })
  money?: string;

  @IsFlag({ description: 'true: the mapping leaves its category out on purpose.' })
  leftOut: boolean;
}

/** A return of a period: the lines of a form, filled in from the report. */
export class PeriodReturn {
  @IsOneOf(['gaugebook-return'])
  format: 'gaugebook-return';

  @IsWholeNumber({ min: 1, max: 1 })
  formatVersion: 1;

  @IsOneOf(['draft', 'closed'], { description: 'Of an open period, or made from the frozen report.' })
  status: 'draft' | 'closed';

  @ApiProperty({ type: ReportProducer })
  producer: ReportProducer;

  @ApiProperty({ type: ReportPremises })
  premises: ReportPremises;

  @ApiProperty({ type: ReportPeriod })
  period: ReportPeriod;

  @IsPattern(/^[0-9a-f]{64}$/, 'a SHA-256 hash', { max: 64 }, { description: 'Of the report that it is made from.' })
  reportHash: string;

  @ApiProperty({ type: ReturnMappingVersion })
  mapping: ReturnMappingVersion;

  @Optional()
  @IsPattern(/^[A-Z]{3}$/, 'a currency code', { max: 3 })
  currency?: string;

  @ApiProperty({ type: [ReturnColumn] })
  columns: ReturnColumn[];

  @ApiProperty({ type: [ReturnLine] })
  lines: ReturnLine[];

  @ApiProperty({ type: [ReturnTie] })
  ties: ReturnTie[];

  @ApiProperty({ type: [UnmappedFigure], description: 'What no line of the form takes.' })
  unmapped: UnmappedFigure[];

  @ApiProperty({ type: [Flag], description: 'What keeps the return from being complete.' })
  flags: Flag[];

  @IsPlainText({ max: 200 })
  advice: string;
}
