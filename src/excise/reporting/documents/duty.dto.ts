import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { DutyQuantity, Money, RoundedStep } from './duty-values.dto.js';
import { EarlierPeriodDuty } from './earlier-periods.dto.js';
import { ReturnedDuty } from './returned-duty.dto.js';
import { NamedVersion } from './report-head.dto.js';
import { COUNT, DutyRule, RuleSetInForce, Release } from './release.dto.js';

export class DutyDay {
  @IsDateOnly()
  day: string;

  @ApiProperty({ type: DutyQuantity })
  quantity: DutyQuantity;

  @ApiPropertyOptional({ type: Money })
  money?: Money;

  @ApiProperty({ type: [RoundedStep] })
  steps: RoundedStep[];
}

/** One category and band at one rate: what a line of a return would be. */
export class DutyGroup {
  @ApiProperty({ type: NamedVersion })
  ruleSet: NamedVersion;

  @IsPlainText({ max: 60 })
  category: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Left out where the strengths do not decide it.' })
  band?: string;

  @IsFlag({ description: 'true: no duty falls on the band.' })
  untaxed: boolean;

  @IsFlag({ description: 'true: the relief of the category is taken off the rate.' })
  relieved: boolean;

  @Optional()
  @IsDecimalNumber(
    { min: 0, max: 100 },
    { description: 'Degrees Plato of all its releases, where duty is charged by them.', example: 11 },
  )
  degree?: number;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholForDuty: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholInBooks: Litres;

  @ApiProperty({ type: DutyQuantity, description: 'Sum of the period before and after its steps.' })
  quantity: DutyQuantity;

  @ApiPropertyOptional({ type: Money, description: 'For one unit, relief taken off.' })
  rate?: Money;

  @ApiPropertyOptional({ type: Money, description: 'Indicated duty; left out where there is no rate.' })
  money?: Money;

  @ApiProperty({ type: [RoundedStep], description: 'Of the rate and of the sums of the period.' })
  steps: RoundedStep[];

  @ApiProperty({ type: [DutyDay], description: 'Only where a step rounds the sums of days.' })
  days: DutyDay[];

  @IsWholeNumber(COUNT)
  releases: number;
}

/** Goods that went out with their duty paid before: no duty falls on them. */
export class PaidRelease {
  @IsId()
  operationId: string;

  @IsPlainText({ max: 40 })
  kind: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsPlainText({ max: 120 })
  category: string;

  @IsWholeNumber(COUNT)
  count: number;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholInBooks: Litres;

  @IsPlainText({ max: 200 })
  operations: string;
}

/** Goods that came back after duty was paid, and left again. */
export class PreviouslyDutyPaid {
  @IsWholeNumber(COUNT)
  releases: number;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres, description: 'As the books hold it.' })
  litresOfPureAlcohol: Litres;

  @ApiProperty({ type: [PaidRelease], description: 'One by one; with `releases` they are all that was released.' })
  goods: PaidRelease[];
}

export class DutyTie {
  @ApiProperty({
    type: Litres,
    description: 'Litres of the releases, those with duty paid before among them, less those of the books; zero.',
  })
  litres: Litres;

  @ApiProperty({
    type: Litres,
    description:
      'Litres of pure alcohol for duty less those of the books: strength for duty against what the books hold.',
  })
  litresOfPureAlcohol: Litres;

  @IsFlag({ description: 'The litres tie.' })
  balances: boolean;
}

export class ReportDuty {
  @ApiProperty({ type: DutyRule, description: 'The rule set in force on the last day of the period.' })
  rule: DutyRule;

  @ApiProperty({ type: [RuleSetInForce], description: 'Every rule set that applied to a release of the period.' })
  ruleSets: RuleSetInForce[];

  @ApiProperty({ type: [Release] })
  releases: Release[];

  @ApiProperty({ type: [DutyGroup], description: 'By category, band and rate.' })
  groups: DutyGroup[];

  @ApiProperty({ type: [Money], description: 'Indicated duty by currency; it is no assessment.' })
  money: Money[];

  @ApiProperty({
    type: [EarlierPeriodDuty],
    description:
      'Closed periods whose duty is no longer what was declared, by changes that were entered since: what it was, what it is, and the change to declare now.',
  })
  earlierPeriods: EarlierPeriodDuty[];

  @ApiProperty({
    type: ReturnedDuty,
    description: 'Duty that was charged on goods which came back under suspension in the period.',
  })
  returned: ReturnedDuty;

  @IsFlag({
    description: 'Every release on which duty may fall has its money: none lacks a rate, a band or a category.',
  })
  complete: boolean;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholForDuty: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcoholInBooks: Litres;

  @ApiProperty({ type: PreviouslyDutyPaid, description: 'Released again with duty paid before; no duty is charged.' })
  previouslyDutyPaid: PreviouslyDutyPaid;

  @ApiProperty({ type: DutyTie })
  tie: DutyTie;
}
