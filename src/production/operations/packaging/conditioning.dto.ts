import { Optional } from '../../../platform/validation/field.js';
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

  @Optional()
  @IsQuantityOf(
    'temperature',
    { min: 0, max: 40, maxDecimals: 4 },
    {
      description:
        'Highest temperature of the drink since the end of fermentation: the CO₂ that escaped at it does not return. 20 °C if left out.',
      example: { value: 18, unit: 'Cel' },
    },
  )
  highestTemperature?: WireQuantity;

  @Optional()
  @IsDecimalNumber(
    { min: 0, max: 8, maxDecimals: 6 },
    {
      description:
        'CO₂ in the drink before, where it was measured or the drink was carbonated, in place of highestTemperature; litres of gas at 0 °C and 1 atm in a litre.',
    },
  )
  volumesBefore?: number;
}

export class ConditioningAnswer {
  @IsQuantityOf('volume', {}, { description: 'Pure alcohol that came from fermentation in the containers.' })
  pureAlcohol: WireQuantity;

  @IsQuantityOf('fraction', {}, { description: 'What that adds to the strength.' })
  strengthAdded: WireQuantity;

  @IsDecimalNumber(
    {},
    {
      description:
        'The whole CO₂ in the drink: that before and that from the sugar. Litres of gas at 0 °C and 1 atm in a litre.',
    },
  )
  volumesOfCO2: number;

  @IsDecimalNumber({}, { description: 'The part of it that comes from the sugar.' })
  volumesFromSugar: number;

  @IsDecimalNumber({}, { description: 'The part of it that was in the drink before.' })
  volumesBefore: number;
}
