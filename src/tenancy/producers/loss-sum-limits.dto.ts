import type { Quantity } from '../../metrology/units.js';
import { Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsQuantityOf } from '../../platform/validation/fields.js';

/** Settings of the running sum of losses over periods (tabular CUSUM), in standard uncertainties. */
export class LossSumLimits {
  @IsDecimalNumber(
    { min: 0, max: 3, maxDecimals: 3 },
    { description: 'Reference value k: half of the loss a period that is to be found.', example: 0.5 },
  )
  referenceValue: number;

  @IsDecimalNumber(
    { min: 0.5, max: 20, maxDecimals: 3 },
    {
      description:
        'Decision limit h: a sum beyond it is no measuring scatter. With k = 0.5, scatter alone signals once in 465 periods at h = 5 and once in 168 at h = 4.',
      example: 5,
    },
  )
  decisionLimit: number;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 4 },
    {
      description:
        'Ordinary losses in evaporation, process and packaging, in per cent of the opening stock of the category and of all that was added to it. What was entered as lost beyond that counts in the sum; without this setting only what gauges and stock-takes found missing counts.',
      example: { value: 2, unit: '%' },
    },
  )
  ordinaryLoss?: Quantity;
}
