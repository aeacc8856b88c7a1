import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsFlag,
  IsId,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';
import { Judgement } from '../../movements/judgement.js';
import { CHARGEABLE_LINES, ChargeableLoss } from '../../../tenancy/producers/chargeable-loss.dto.js';
import { DutyFlag, DutyQuantity, Money, RoundedStep } from './duty-values.dto.js';
import { NamedVersion } from './report-head.dto.js';

class ChargeableAmount {
  @ApiProperty({ type: Litres, description: 'Beyond what is allowed.' })
  litres: Litres;

  @ApiProperty({ type: Litres, description: 'As the books hold it.' })
  litresOfPureAlcohol: Litres;

  @ApiProperty({ type: Litres, description: 'Strength for duty times litres, exact.' })
  litresOfPureAlcoholForDuty: Litres;
}

/** One kind of loss of one category. */
export class DeficiencyLine extends ChargeableAmount {
  @IsOneOf(CHARGEABLE_LINES)
  line: string;

  @IsPlainText({ max: 120 })
  category: string;

  @ApiProperty({ type: Litres, description: 'Litres lost or missing that the rule can make chargeable.' })
  lost: Litres;

  @ApiProperty({
    type: Litres,
    description: 'Base of the allowance: opening stock and receipts of the category.',
  })
  allowanceBase: Litres;

  @IsQuantityOf('fraction', {}, { description: 'Percentage of the base that is allowed.' })
  allowanceRate: WireQuantity;

  @ApiProperty({ type: Litres })
  allowance: Litres;

  @ApiProperty({
    type: Judgement,
    description: 'Of what was lost; the uncertainties of the entries are added, as if all had one origin.',
  })
  judgement: Judgement;
}

/** The part of one entry that is chargeable: what is beyond the allowance is shared over the entries by their litres. */
export class DeficiencyEntry extends ChargeableAmount {
  @IsId()
  operationId: string;

  @IsOneOf(CHARGEABLE_LINES)
  line: string;

  @IsPlainText({ max: 120 })
  category: string;

  @IsDateOnly({ description: 'Local day: the rate of that day holds.' })
  day: string;

  @ApiProperty({ type: Litres })
  lost: Litres;

  @ApiProperty({ type: Judgement, description: 'Of what was lost, against its own uncertainty.' })
  judgement: Judgement;

  @IsQuantityOf('fraction', {}, { description: 'What the rule set makes of the declared or the book strength.' })
  strengthForDuty: WireQuantity;

  @ApiProperty({ type: NamedVersion })
  ruleSet: NamedVersion;

  @Optional()
  @IsPlainText({ max: 60 })
  dutyCategory?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  band?: string;

  @ApiPropertyOptional({ type: DutyQuantity })
  quantity?: DutyQuantity;

  @ApiProperty({ type: [RoundedStep] })
  steps: RoundedStep[];

  @ApiProperty({ type: [DutyFlag] })
  flags: DutyFlag[];

  @IsPlainText({ max: 200 })
  operations: string;
}

/** Losses and shortages beyond the allowances of the producer's rules. They are kept apart from the duty of releases. */
export class Deficiency extends ChargeableAmount {
  @ApiProperty({ type: [ChargeableLoss], description: 'The producer’s setting.' })
  rules: ChargeableLoss[];

  @ApiProperty({ type: [DeficiencyLine], description: 'By kind of loss and category, where anything was lost.' })
  lines: DeficiencyLine[];

  @ApiProperty({ type: [DeficiencyEntry], description: 'Entries with anything chargeable.' })
  entries: DeficiencyEntry[];

  @ApiProperty({
    type: [Money],
    description: 'Indicated by the rule sets, calculated apart from releases; no assessment.',
  })
  money: Money[];

  @IsFlag({ description: 'Every entry has its money.' })
  complete: boolean;

  @IsWholeNumber(
    { min: 0, max: Number.MAX_SAFE_INTEGER },
    { description: 'Stock-take differences that have no reason.' },
  )
  unexplainedDifferences: number;
}
