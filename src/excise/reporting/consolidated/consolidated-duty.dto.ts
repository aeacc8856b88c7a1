import { ApiProperty, ApiPropertyOptional, OmitType } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsOneOf,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { RETURN_TREATMENTS } from '../../duty/rules/rule-set.js';
import { CHARGEABLE_LINES } from '../../../tenancy/producers/chargeable-loss.dto.js';
import { DutyTie, PreviouslyDutyPaid } from '../documents/duty.dto.js';
import { DutyQuantity, Money } from '../documents/duty-values.dto.js';
import { NamedVersion } from '../documents/report-head.dto.js';

const COUNT = { min: 0, max: Number.MAX_SAFE_INTEGER };

class PreviouslyDutyPaidSums extends OmitType(PreviouslyDutyPaid, ['goods']) {}

class DutySums {
  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholForDuty: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholInBooks: Litres;
}

/** One category and band at one rate over all periods: the sum of what each period made of it, rounded there. */
export class ConsolidatedDutyGroup extends DutySums {
  @ApiProperty({ type: NamedVersion })
  ruleSet: NamedVersion;

  @IsPlainText({ max: 60 })
  category: string;

  @Optional()
  @IsPlainText({ max: 60 })
  band?: string;

  @IsFlag()
  untaxed: boolean;

  @IsFlag()
  relieved: boolean;

  @Optional()
  @IsDecimalNumber({ min: 0, max: 100 }, { description: 'Degrees Plato, where duty is charged by them.', example: 11 })
  degree?: number;

  @ApiProperty({ type: DutyQuantity })
  quantity: DutyQuantity;

  @ApiPropertyOptional({ type: Money })
  rate?: Money;

  @ApiPropertyOptional({ type: Money })
  money?: Money;

  @IsWholeNumber(COUNT)
  releases: number;

  @IsWholeNumber(COUNT, { description: 'Periods that had any of it.' })
  periods: number;
}

export class PeriodDuty extends DutySums {
  @IsId()
  premisesId: string;

  @IsId()
  periodId: string;

  @IsDateOnly()
  startsOn: string;

  @ApiProperty({ type: [Money] })
  money: Money[];

  @IsFlag()
  complete: boolean;
}

/** Corrected duty of one closed period, as the report of a later period declares it. */
export class DeclaredCorrection {
  @IsId()
  premisesId: string;

  @IsId({ description: 'The period whose report declares it.' })
  declaredIn: string;

  @IsId({ description: 'The closed period that it is of.' })
  periodId: string;

  @IsDateOnly()
  startsOn: string;

  @IsDateOnly()
  endsBefore: string;

  @ApiProperty({ type: Litres, description: 'Change of the litres of pure alcohol for duty.' })
  litresOfPureAlcoholForDuty: Litres;

  @ApiProperty({ type: [Money], description: 'Change of the indicated duty.' })
  money: Money[];
}

/** Duty on goods returned over all periods, by what the rule set of each says becomes of it. */
export class ConsolidatedReturn {
  @IsOneOf(RETURN_TREATMENTS)
  treatment: string;

  @IsWholeNumber(
    { min: 0, max: Number.MAX_SAFE_INTEGER },
    { description: 'Returns, each release that they came from by itself.' },
  )
  returns: number;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholForDuty: Litres;

  @ApiProperty({ type: [Money] })
  money: Money[];
}

/** Duty of the periods added up. Each is rounded by its own rules first, as each is a return of its own. */
export class ConsolidatedDuty extends DutySums {
  @ApiProperty({ type: [PeriodDuty] })
  periods: PeriodDuty[];

  @ApiProperty({ type: [ConsolidatedDutyGroup] })
  groups: ConsolidatedDutyGroup[];

  @ApiProperty({ type: [Money], description: 'Indicated duty by currency; it is no assessment.' })
  money: Money[];

  @IsFlag({ description: 'Every release of every period on which duty may fall has its money.' })
  complete: boolean;

  @ApiProperty({
    type: [DeclaredCorrection],
    description: 'Corrected duty of closed periods that the reports of these periods declare.',
  })
  earlierPeriods: DeclaredCorrection[];

  @ApiProperty({ type: [ConsolidatedReturn] })
  returned: ConsolidatedReturn[];

  @ApiProperty({ type: PreviouslyDutyPaidSums })
  previouslyDutyPaid: PreviouslyDutyPaidSums;

  @ApiProperty({ type: DutyTie })
  tie: DutyTie;
}

class ChargeableSums {
  @ApiProperty({ type: Litres, description: 'Beyond what is allowed.' })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholForDuty: Litres;
}

export class ConsolidatedDeficiencyLine extends ChargeableSums {
  @IsOneOf(CHARGEABLE_LINES)
  line: string;

  @IsPlainText({ max: 120 })
  category: string;

  @ApiProperty({ type: Litres })
  lost: Litres;

  @ApiProperty({ type: Litres })
  allowance: Litres;
}

/** Chargeable deficiency of the periods added up; what one period does not use of its allowance is not another's. */
export class ConsolidatedDeficiency extends ChargeableSums {
  @ApiProperty({ type: [ConsolidatedDeficiencyLine] })
  lines: ConsolidatedDeficiencyLine[];

  @ApiProperty({ type: [Money] })
  money: Money[];

  @IsWholeNumber(COUNT, { description: 'Stock-take differences that have no reason.' })
  unexplainedDifferences: number;
}
