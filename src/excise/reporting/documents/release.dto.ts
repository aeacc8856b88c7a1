import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';
import { CONTAINERS } from '../../../production/operations/packaging/packaging.dto.js';
import { SourceReference } from '../../duty/rule-sets/rule-sets.dto.js';
import { DutyFlag, DutyQuantity, Money, RoundedStep } from './duty-values.dto.js';
import { NamedVersion } from './report-head.dto.js';

export const COUNT = { min: 0, max: Number.MAX_SAFE_INTEGER };

export class MeasuredStrength {
  @IsId()
  findingId: string;

  @IsQuantityOf('fraction')
  strength: WireQuantity;

  @IsQuantityOf('fraction')
  expandedUncertainty: WireQuantity;
}

export class DutyRule {
  @IsPlainText({ max: 60 })
  id: string;

  @IsPlainText({ max: 20 })
  version: string;

  @IsPlainText({ max: 300 })
  description: string;
}

/** A rule set that applied to something of the period. */
export class RuleSetInForce extends DutyRule {
  @IsDateOnly()
  validFrom: string;

  @IsPlainText({ max: 60 }, { description: 'Which of the strengths counts.' })
  strengthRule: string;

  @ApiProperty({ type: [SourceReference] })
  sources: SourceReference[];

  @Optional()
  @IsInstant({ description: 'When it was entered; left out for the plain set, which is the program’s.' })
  enteredAt?: string;

  @Optional()
  @IsId({ description: 'Who chose its classes and rates, if a person was named.' })
  personId?: string;

  @Optional()
  @IsId({ description: 'The key with which it was entered.' })
  keyId?: string;

  @IsPlainText({ max: 200 })
  advice: string;
}

export class Release {
  @IsId()
  operationId: string;

  @IsPlainText({ max: 40 })
  kind: string;

  @IsInstant()
  occurredAt: string;

  @IsDateOnly()
  dutyDate: string;

  @Optional()
  @IsId({ description: 'Left out for what a serving tank gave.' })
  packagedLotId?: string;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsPlainText({ max: 120 })
  category: string;

  @IsWholeNumber(COUNT)
  count: number;

  @Optional()
  @IsOneOf(CONTAINERS, { description: 'Left out for what a serving tank gave.' })
  container?: string;

  @ApiPropertyOptional({ type: Litres, description: 'Nominal volume of one container.' })
  nominalVolume?: Litres;

  @Optional()
  @IsPlainText({ max: 40 }, { description: 'Dispense system that the container is packed for.' })
  dispense?: string;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @IsQuantityOf('fraction', {}, { description: 'On the label or the papers.' })
  declaredStrength: WireQuantity;

  @ApiPropertyOptional({
    type: MeasuredStrength,
    description: 'Strength of record of what was packed, conditioning included, and the finding that it rests on.',
  })
  measuredStrength?: MeasuredStrength;

  @IsOneOf(['declared', 'measured'], { description: 'Which of them the rule set takes.' })
  strengthFrom: 'declared' | 'measured';

  @IsQuantityOf('fraction', {}, { description: 'What the rule set makes of it, its steps taken.' })
  strengthForDuty: WireQuantity;

  @ApiProperty({ type: Litres, description: 'For duty: strength for duty times litres, exact.' })
  litresOfPureAlcoholForDuty: Litres;

  @ApiProperty({ type: Litres, description: 'As the books hold it.' })
  litresOfPureAlcoholInBooks: Litres;

  @ApiProperty({ type: NamedVersion, description: 'The rule set in force on the duty date.' })
  ruleSet: NamedVersion;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Category of the rule set.' })
  dutyCategory?: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Left out where the strength does not decide it.' })
  band?: string;

  @ApiPropertyOptional({ type: DutyQuantity, description: 'Left out where it cannot be known; the flags say why.' })
  quantity?: DutyQuantity;

  @Optional()
  @IsFlag({ description: 'true: the relief of the category is taken off the rate.' })
  relieved?: boolean;

  @Optional()
  @IsDecimalNumber({ min: 0, max: 100 }, { description: 'Degrees Plato, where duty is charged by them.', example: 11 })
  degree?: number;

  @ApiPropertyOptional({ type: Money, description: 'Rate for one unit on the duty date, relief taken off.' })
  rate?: Money;

  @ApiPropertyOptional({ type: Money, description: 'Where the rule set calculates money line by line.' })
  money?: Money;

  @ApiPropertyOptional({
    type: Money,
    description: 'Quantity times rate, unrounded, where the rule set calculates the money of days or of the period.',
  })
  moneyBeforeRounding?: Money;

  @ApiProperty({ type: [RoundedStep], description: 'Every rounding of the line, in order.' })
  steps: RoundedStep[];

  @ApiProperty({ type: [DutyFlag] })
  flags: DutyFlag[];

  @IsPlainText({ max: 200 }, { description: 'Where the operations behind the figure are.' })
  operations: string;
}
