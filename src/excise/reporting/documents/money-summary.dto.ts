import { IsPattern } from '../../../platform/validation/fields.js';

const IsAmount = (description: string): PropertyDecorator =>
  IsPattern(/^-?\d+(\.\d+)?$/, 'a plain decimal', { max: 60 }, { description });

/** Indicated duty of a report in one currency: what it is made of, and the sum. It is no assessment. */
export class MoneySummary {
  @IsPattern(/^[A-Z]{3}$/, 'a currency code', { max: 3 })
  currency: string;

  @IsAmount('Of the releases of the period.')
  releases: string;

  @IsAmount('Of chargeable losses and shortages.')
  deficiency: string;

  @IsAmount('Change of the duty of earlier periods.')
  earlierPeriods: string;

  @IsAmount('On goods returned, where the rules set it off; negative.')
  returns: string;

  @IsAmount('Sum of these.')
  total: string;

  @IsAmount('On goods returned, where the rules have it claimed separately; not in the sum.')
  claims: string;
}
