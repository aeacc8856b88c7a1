import type { Quantity } from '../../metrology/units.js';
import { Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { ReturnSettings } from './return-settings.dto.js';

const LABEL_SIDES = ['below', 'above'] as const;

/** Settings that decide whether a strength agrees with its label. */
export class LabelSettings extends ReturnSettings {
  @IsQuantityOf(
    'fraction',
    { min: 0.01, max: 5, maxDecimals: 3 },
    {
      description: 'Permitted difference between the declared and the measured strength, % vol either way.',
      example: { value: 0.3, unit: '%' },
    },
  )
  labelTolerance: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 5, maxDecimals: 3 },
    {
      description: 'The same below the declared strength, where it differs; labelTolerance if left out.',
      example: { value: 0.2, unit: '%' },
    },
  )
  labelToleranceBelow?: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 5, maxDecimals: 3 },
    {
      description: 'The same above the declared strength, where it differs; labelTolerance if left out.',
      example: { value: 0.3, unit: '%' },
    },
  )
  labelToleranceAbove?: Quantity;

  @Optional()
  @IsOneOf(LABEL_SIDES, {
    description:
      'Side of the declared strength without a limit: above where the label is a minimum ("at least 37.5 % vol"), below where it is a maximum ("not above 0.5 % vol"). None if left out.',
  })
  labelOpenSide?: (typeof LABEL_SIDES)[number];

  @IsDecimalNumber(
    { min: 0.001, max: 0.5, maxDecimals: 3 },
    { description: 'Highest accepted probability of a wrong conformity decision.', example: 0.05 },
  )
  allowedRisk: number;
}
