import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsDateOnly, IsDecimalNumber, IsId, IsOneOf, IsPlainText } from '../../../platform/validation/fields.js';
import { Judgement } from '../../movements/judgement.js';
import { LossSumLimits } from '../../../tenancy/producers/loss-sum-limits.dto.js';

/** Litres of one category that a period cannot account for. */
export class UnaccountedLoss {
  @IsPlainText({ max: 120 })
  category: string;

  @ApiProperty({
    type: Litres,
    description:
      'What gauges and stock-takes found missing, less what they found too much; and losses beyond the ordinary ones, where the setting names these. Positive: missing.',
  })
  litres: Litres;

  @ApiProperty({ type: Judgement, description: 'Against its own uncertainty, by origin over the whole period.' })
  judgement: Judgement;

  @Optional()
  @IsDecimalNumber(
    {},
    { description: 'Litres by their standard uncertainty; absent where none is stated.', example: 0.8 },
  )
  standardised?: number;
}

/** Running sums after one period. */
export class LossPoint {
  @IsId()
  periodId: string;

  @IsDateOnly()
  startsOn: string;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiPropertyOptional({ type: Litres, description: 'U (95 %); absent where none is stated.' })
  expandedUncertainty?: Litres;

  @Optional()
  @IsDecimalNumber({}, { description: 'Absent: the period leaves the sums as they were.' })
  standardised?: number;

  @IsDecimalNumber({}, { description: 'Sum of what is missing beyond the reference value, never below 0.' })
  missing: number;

  @IsDecimalNumber({}, { description: 'The same of what is too much.' })
  surplus: number;

  @Optional()
  @IsOneOf(['missing', 'surplus'], {
    description: 'The sum that is beyond the decision limit; both start again from 0 after it.',
  })
  signal?: 'missing' | 'surplus';
}

export class LossSeries {
  @IsPlainText({ max: 120 })
  category: string;

  @ApiProperty({ type: [LossPoint], description: 'The latest 24 periods, this one last.' })
  points: LossPoint[];

  @Optional()
  @IsOneOf(['missing', 'surplus'], { description: 'Signal of this period.' })
  signal?: 'missing' | 'surplus';
}

/** Losses over the periods of the premises: a tabular CUSUM, which tells a steady leak from measuring scatter. */
export class LossesOverPeriods {
  @ApiProperty({ type: LossSumLimits, description: 'The producer’s setting.' })
  limits: LossSumLimits;

  @IsDecimalNumber({}, { description: 'Periods until scatter alone signals, on average, in one category.' })
  periodsToFalseSignal: number;

  @IsDecimalNumber(
    {},
    { description: 'Periods until a loss of 1.5 standard uncertainties in each period signals, on average.' },
  )
  periodsToFindLeak: number;

  @ApiProperty({ type: [UnaccountedLoss], description: 'Of this period; categories in which anything differed.' })
  unaccounted: UnaccountedLoss[];

  @ApiProperty({ type: [LossSeries], description: 'By category, from the closed reports and this one.' })
  series: LossSeries[];
}
