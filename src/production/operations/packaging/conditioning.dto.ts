import { IsDecimalNumber, IsOneOf, IsQuantityOf } from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../shared/event.dto.js';

export const CONDITIONING_SUGARS = ['sucrose', 'dextrose-anhydrous', 'dextrose-monohydrate'] as const;

export class PackageConditioning {
  @IsOneOf(CONDITIONING_SUGARS, { example: 'sucrose' })
  sugar: (typeof CONDITIONING_SUGARS)[number];

  @IsDecimalNumber(
    { min: 0, aboveMin: true, max: 20, maxDecimals: 6, unit: 'g/L' },
    { description: 'Sugar to a litre of the drink, g/L.', example: 6 },
  )
  gramsPerLitre: number;
}

export class ConditioningAnswer {
  @IsQuantityOf('volume', {}, { description: 'Pure alcohol that came from fermentation in the containers.' })
  pureAlcohol: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'What that adds to the strength.' })
  strengthAdded: WireQuantity;

  @IsDecimalNumber(
    {},
    { description: 'CO₂ from the sugar, volumes at 0 °C and 1 atm; what is in the drink already comes on top.' },
  )
  volumesOfCO2: number;
}
