import { ROUNDING_BASES, ROUNDING_GROUPINGS, ROUNDING_MODES } from '../../../metrology/rounding-rules.js';
import { IsOneOf, IsPattern, IsPlainText, IsWholeNumber } from '../../../platform/validation/fields.js';
import { FLAG_CODES } from '../../duty/rules/line.js';
import { DUTY_UNITS } from '../../duty/rules/rule-set.js';

/** A decimal as text, so that no digit is lost. */
export const IsDecimalText = (description: string): PropertyDecorator =>
  IsPattern(/^-?\d+(\.\d+)?$/, 'a plain decimal', { max: 60 }, { description });

/** One rounding, with what it rounded. */
export class RoundedStep {
  @IsPlainText({ max: 120 })
  name: string;

  @IsOneOf(ROUNDING_BASES)
  basis: string;

  @IsOneOf(ROUNDING_MODES)
  mode: string;

  @IsWholeNumber({ min: 0, max: 9 })
  places: number;

  @IsOneOf(ROUNDING_GROUPINGS)
  grouping: string;

  @IsDecimalText('Before the step.')
  raw: string;

  @IsDecimalText('After it.')
  result: string;
}

export class DutyFlag {
  @IsOneOf(FLAG_CODES)
  code: string;

  @IsPlainText({ max: 400 })
  detail: string;
}

/** A quantity for duty in the unit of its category. */
export class DutyQuantity {
  @IsOneOf(DUTY_UNITS)
  unit: string;

  @IsDecimalText('Before the steps that round the quantity itself.')
  raw: string;

  @IsDecimalText('After them.')
  result: string;
}

export class Money {
  @IsPattern(/^[A-Z]{3}$/, 'a currency code', { max: 3 })
  currency: string;

  @IsDecimalText('Indicated duty.')
  amount: string;
}
