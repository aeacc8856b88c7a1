import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { Quantity } from '../../../metrology/units.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsOneOf,
  IsPlainText,
  IsQueryInteger,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { ReportProducer, TrailHead } from '../documents/report-head.dto.js';

export const YEAR_FORMATS = ['json', 'csv', 'pdf'] as const;
export type YearFormat = (typeof YEAR_FORMATS)[number];

export class ProductionYearParam {
  @IsQueryInteger({ min: 1900, max: 2199 }, { description: 'Year in which the production year begins.' })
  year: number;
}

export class ProductionYearQuery {
  @Optional()
  @IsOneOf(YEAR_FORMATS, { description: 'Format of the answer; if it is absent, the Accept header decides.' })
  format?: YearFormat;
}

/** Volume of the drinks and pure alcohol in them, hL, every decimal of the books. */
export class ProductionAmount {
  @IsQuantityOf('volume', { units: ['hL'] })
  volume: Quantity;

  @IsQuantityOf('volume', { units: ['hL'] })
  pureAlcohol: Quantity;
}

/** The producer’s own production, and what was made for other owners. */
export class ProductionParts {
  @ApiProperty({ type: ProductionAmount })
  own: ProductionAmount;

  @ApiProperty({ type: ProductionAmount, description: 'Made for other owners, under licence or contract.' })
  licensed: ProductionAmount;
}

export class ProductionMonth extends ProductionParts {
  @IsPlainText({ max: 7 }, { example: '2026-02' })
  month: string;
}

export class ProductionCategory extends ProductionParts {
  @IsPlainText({ max: 120 })
  category: string;

  @ApiProperty({ type: [ProductionMonth], description: 'Months in which it was produced.' })
  months: ProductionMonth[];
}

export class LicensedFor extends ProductionAmount {
  @IsPlainText({ max: 120 })
  owner: string;
}

export class GroupMemberYear extends ProductionAmount {
  @IsPlainText({ max: 120 })
  member: string;

  @IsPlainText({ max: 200 }, { description: 'Document that the producer took the figure from.' })
  document: string;
}

export class ProductionTotals extends ProductionParts {
  @ApiProperty({ type: ProductionAmount, description: 'Other members of the group, as the producer states them.' })
  group: ProductionAmount;

  @ApiProperty({ type: ProductionAmount })
  all: ProductionAmount;

  @ApiPropertyOptional({
    type: Number,
    description: 'Share of `licensed` in own and licensed pure alcohol, 0 to 1; left out where both are nothing.',
  })
  licensedShare?: number;
}

export class YearTotals extends ProductionTotals {
  @ApiProperty({
    type: ProductionAmount,
    description: 'Expanded uncertainty (95 %) of own and licensed together; the group’s figures are taken as stated.',
  })
  expandedUncertainty: ProductionAmount;
}

export class ProductionEstimate extends ProductionTotals {
  @IsWholeNumber({ min: 1900, max: 2300 }, { description: 'The production year after the present one.' })
  year: number;

  @IsPlainText({ max: 400 }, { description: 'The method in words.' })
  method: string;

  @IsDateOnly({ description: 'First day that it rests on.' })
  from: string;

  @IsDateOnly({ description: 'The day after the last one.' })
  before: string;

  @IsWholeNumber({ min: 1, max: 12 }, { description: 'Whole months of them that the books cover.' })
  months: number;
}

export class ThresholdState {
  @IsPlainText({ max: 120 })
  name: string;

  @IsOneOf(['pure-alcohol', 'volume'])
  measure: 'pure-alcohol' | 'volume';

  @IsQuantityOf('volume', { units: ['hL'] })
  limit: Quantity;

  @IsQuantityOf('volume', { units: ['hL'] }, { description: 'Production of the year that counts against it so far.' })
  counted: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    {},
    { description: 'Share of the limit, rounded to a hundredth; left out of a limit of 0.' },
  )
  share?: Quantity;

  @Optional()
  @IsQuantityOf('volume', { units: ['hL'] }, { description: 'The same by the estimate for the coming year.' })
  estimated?: Quantity;

  @IsOneOf(['below', 'near', 'above'], {
    description: '`near`: at the share from which it is announced, or beyond. `above`: more than the limit.',
  })
  state: 'below' | 'near' | 'above';
}

/** Production of one year by month. */
export class ProductionYear {
  @IsOneOf(['gaugebook-production-year'])
  format: 'gaugebook-production-year';

  @IsWholeNumber({ min: 1, max: 1 })
  formatVersion: 1;

  @ApiProperty({ type: ReportProducer })
  producer: ReportProducer;

  @IsWholeNumber({ min: 1900, max: 2199 })
  year: number;

  @IsDateOnly()
  startsOn: string;

  @IsDateOnly()
  endsBefore: string;

  @IsOneOf(['produced', 'packaged'], { description: 'The setting `productionYear.basis`.' })
  basis: 'produced' | 'packaged';

  @ApiPropertyOptional({ type: [String], description: 'Categories that count; all if left out.' })
  counted?: string[];

  @ApiProperty({ type: [ProductionMonth], description: 'The twelve months, empty ones too.' })
  months: ProductionMonth[];

  @ApiProperty({ type: [ProductionCategory] })
  categories: ProductionCategory[];

  @ApiProperty({ type: [LicensedFor], description: 'What was made for each other owner.' })
  licensedFor: LicensedFor[];

  @ApiProperty({ type: [GroupMemberYear] })
  group: GroupMemberYear[];

  @ApiProperty({ type: YearTotals })
  total: YearTotals;

  @ApiProperty({ type: [ThresholdState] })
  thresholds: ThresholdState[];

  @ApiPropertyOptional({
    type: ProductionEstimate,
    description: 'Left out before the books cover a whole month.',
  })
  estimate?: ProductionEstimate;

  @ApiProperty({ type: TrailHead, description: 'Last entry of the audit trail when it was made.' })
  trail: TrailHead;

  @ApiProperty({ type: [String], description: 'What the figures are not.' })
  statement: string[];
}
