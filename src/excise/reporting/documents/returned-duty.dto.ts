import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsDateOnly, IsId, IsOneOf, IsPlainText } from '../../../platform/validation/fields.js';
import { RETURN_TREATMENTS } from '../../duty/rules/rule-set.js';
import { DutyAmount } from './duty-amount.dto.js';
import { Money } from './duty-values.dto.js';

/** Goods that came back under suspension, with the duty that was charged when they went out. */
export class ReturnedGoods {
  @IsId({ description: 'The return.' })
  operationId: string;

  @IsDateOnly()
  day: string;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsId({ description: 'The movement by which they went out.' })
  releaseId: string;

  @IsDateOnly({ description: 'Duty date of that movement.' })
  dutyDate: string;

  @IsOneOf(['named', 'oldest-first'], { description: 'How that movement was found.' })
  matchedBy: 'named' | 'oldest-first';

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholForDuty: Litres;

  @ApiPropertyOptional({ type: Money, description: 'Rate for one unit on the duty date, relief taken off.' })
  rate?: Money;

  @IsPlainText({ max: 200 })
  operations: string;
}

/** One category and band at the rate at which duty was charged. */
export class ReturnedGroup extends DutyAmount {
  @IsPlainText({ max: 60 })
  category: string;

  @Optional()
  @IsPlainText({ max: 60 })
  band?: string;

  @IsPlainText({ max: 20 })
  unit: string;

  @ApiPropertyOptional({ type: Money })
  rate?: Money;
}

/** Duty on goods returned. */
export class ReturnedDuty {
  @IsOneOf(RETURN_TREATMENTS, {
    description:
      'By the rule set in force on the last day of the period: set off against the releases of the day or of the period, or claimed separately.',
  })
  treatment: (typeof RETURN_TREATMENTS)[number];

  @ApiProperty({ type: [ReturnedGoods] })
  goods: ReturnedGoods[];

  @ApiProperty({ type: [ReturnedGroup] })
  groups: ReturnedGroup[];

  @ApiProperty({ type: [Money], description: 'Indicated duty that was charged on the goods, by currency.' })
  money: Money[];
}
