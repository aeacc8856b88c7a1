import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
} from '../../../platform/validation/fields.js';
import { oneOfRule } from '../../../platform/validation/text-rules.js';
import { DUTY_UNITS } from '../../duty/rules/rule-set.js';
import { DutyAmount, GoodsForDuty } from './duty-amount.dto.js';
import { Money } from './duty-values.dto.js';

/** One product of a group. */
export class ProductCorrection {
  @IsPlainText({ max: 60 })
  lotMark: string;

  @ApiProperty({ type: GoodsForDuty })
  declared: GoodsForDuty;

  @ApiProperty({ type: GoodsForDuty })
  corrected: GoodsForDuty;

  @ApiProperty({ type: GoodsForDuty })
  change: GoodsForDuty;
}

/** One category and band at the rate of the original duty date. */
export class DutyGroupCorrection {
  @IsPlainText({ max: 60 })
  category: string;

  @Optional()
  @IsPlainText({ max: 60 })
  band?: string;

  @Optional()
  @IsDecimalNumber({ min: 0, max: 100 }, { description: 'Degrees Plato, where duty is charged by them.', example: 11 })
  degree?: number;

  @IsFlag({ description: 'true: the relief of the category is taken off the rate.' })
  relieved: boolean;

  @IsOneOf(DUTY_UNITS)
  unit: string;

  @ApiPropertyOptional({ type: Money, description: 'For one unit on the original duty date, relief taken off.' })
  rate?: Money;

  @ApiProperty({ type: DutyAmount, description: 'By the last report that declared it.' })
  declared: DutyAmount;

  @ApiProperty({ type: DutyAmount, description: 'As it is now.' })
  corrected: DutyAmount;

  @ApiProperty({ type: DutyAmount, description: 'Corrected less declared; negative where too much was declared.' })
  change: DutyAmount;

  @ApiProperty({ type: [ProductCorrection], description: 'Products that changed.' })
  products: ProductCorrection[];
}

/** An entry that corrects the period. */
export class CorrectingEntry {
  @IsId()
  operationId: string;

  @IsPlainText({ max: 40 })
  kind: string;

  @IsInstant()
  recordedAt: string;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @Optional()
  @IsId({ description: 'Person who entered it.' })
  personId?: string;

  @IsPlainText({ max: 200 })
  operation: string;
}

export const CORRECTION_CAUSES = ['entries', 'strengths', 'rules'] as const;

/** Duty as it was declared and as it is now. */
export class DutyChanges {
  @ApiProperty({ type: [DutyGroupCorrection], description: 'Groups that changed.' })
  groups: DutyGroupCorrection[];

  @ApiProperty({ type: [Money], description: 'Change of the indicated duty by currency.' })
  money: Money[];
}

/** Duty of a closed period as it was declared and as it is now. */
export class EarlierPeriodDuty extends DutyChanges {
  @IsId()
  periodId: string;

  @IsDateOnly()
  startsOn: string;

  @IsDateOnly()
  endsBefore: string;

  @IsListOf(
    oneOfRule(CORRECTION_CAUSES),
    { max: 3 },
    {
      description:
        'Changes since the last report: entries that correct the period, strengths found anew of what was released in it, duty rules entered later.',
    },
  )
  causes: (typeof CORRECTION_CAUSES)[number][];

  @ApiProperty({
    type: [CorrectingEntry],
    description: 'Entries since the last report, those that were reversed again left out.',
  })
  entries: CorrectingEntry[];
}
