import { IsPattern } from '../../../platform/validation/fields.js';
import { IsDecimalText } from './duty-values.dto.js';

/** Indicated duty of a report in one currency: what it is made of, and the sum. It is no assessment. */
export class MoneySummary {
  @IsPattern(/^[A-Z]{3}$/, 'a currency code', { max: 3 })
  currency: string;

  @IsDecimalText('Of the releases of the period.')
  releases: string;

  @IsDecimalText('Of chargeable losses and shortages.')
  deficiency: string;

  @IsDecimalText('Change of the duty of earlier periods.')
  earlierPeriods: string;

  @IsDecimalText('On goods returned, where the rules set it off; negative.')
  returns: string;

  @IsDecimalText('Sum of these.')
  total: string;

  @IsDecimalText('On goods returned, where the rules have it claimed separately; not in the sum.')
  claims: string;
}
