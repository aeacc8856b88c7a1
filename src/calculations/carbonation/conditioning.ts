import { ApiProperty } from '@nestjs/swagger';
import type { CarbonatedLiquid } from '../../alcoholometry/carbonation/carbonation.js';
import { CARBONATED_LIQUIDS } from '../../alcoholometry/carbonation/carbonation.js';
import type { ConditioningSugar } from '../../alcoholometry/carbonation/conditioning-sugar.js';
import { CONDITIONING_METHOD, conditioningSugar } from '../../alcoholometry/carbonation/conditioning-sugar.js';
import { Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, figure, quantityOf } from '../shared/answer.js';
import { baseOf } from '../shared/inputs.js';
import { LIQUID_DESCRIPTION } from './carbonation.js';
import { StatedLiquid, specOf } from '../shared/liquid.dto.js';

const CONDITIONING_SUGARS = ['sucrose', 'dextrose-anhydrous', 'dextrose-monohydrate'] as const;

export class ConditioningRequest extends StatedLiquid {
  @IsQuantityOf('volume', {}, { description: 'Of the flat drink, at 20 °C.', example: { value: 500, unit: 'L' } })
  volume!: Quantity;

  @IsOneOf(CONDITIONING_SUGARS, { description: 'Sugar that is weighed out.', example: 'sucrose' })
  sugar!: ConditioningSugar;

  @IsDecimalNumber({}, { description: 'Wanted: litres of gas at 0 °C and 1 atm in a litre of drink.', example: 2.6 })
  volumesOfCO2!: number;

  @IsQuantityOf(
    'temperature',
    {},
    {
      description:
        'Highest temperature since the end of fermentation, 0 to 40 °C. The CO₂ that escaped at it does not return.',
      example: { value: 20, unit: 'Cel' },
    },
  )
  highestTemperature!: Quantity;

  @Optional()
  @IsQuantityOf(
    'pressure',
    {},
    { description: 'Atmospheric pressure; 101.325 kPa by default.', example: { value: 95, unit: 'kPa' } },
  )
  atmosphericPressure?: Quantity;

  @Optional()
  @IsOneOf(CARBONATED_LIQUIDS, { description: LIQUID_DESCRIPTION })
  liquid?: CarbonatedLiquid;
}

export class ConditioningResult extends CalculationResult {
  @ApiProperty({ type: Quantity, description: 'Sugar for the whole volume.' })
  sugarMass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Sugar in a litre of flat drink.' })
  sugarConcentration!: Quantity;

  @ApiProperty({ type: 'number', format: 'double', description: 'Still dissolved, litres of gas in a litre.' })
  residualVolumesOfCO2!: number;

  @ApiProperty({ type: Quantity, description: 'CO₂ still dissolved.' })
  residual!: Quantity;

  @ApiProperty({ type: Quantity, description: 'CO₂ that the sugar gives.' })
  fromSugar!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Litres of pure alcohol that the sugar gives.' })
  pureAlcoholAdded!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Increase of strength by conditioning.' })
  strengthAdded!: Quantity;

  @ApiProperty({ type: Quantity, description: 'After conditioning, by volume at 20 °C.' })
  strengthAfter!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Of the degassed drink, at 20 °C.' })
  volumeChange!: Quantity;
}

const NAMES: Readonly<Record<string, string>> = { targetVolumesOfCO2: 'volumesOfCO2' };

/** The pure function calls the liquid `drink`. */
export const conditioningName = (name: string): string => NAMES[name] ?? name.replace(/^drink\./, '');

export function conditioning(input: ConditioningRequest): ConditioningResult {
  const found = conditioningSugar({
    ...specOf(input),
    volumeL: baseOf('volume', input.volume),
    sugar: input.sugar,
    targetVolumesOfCO2: input.volumesOfCO2,
    highestTemperatureC: baseOf('temperature', input.highestTemperature),
    atmosphericPressureKPa: baseOf('pressure', input.atmosphericPressure),
  });
  return {
    sugarMass: quantityOf(found.sugarKg, 'kg'),
    sugarConcentration: quantityOf(found.sugarGPerL, 'g/L'),
    residualVolumesOfCO2: figure(found.residualVolumesOfCO2),
    residual: quantityOf(found.residualGPerL, 'g/L'),
    fromSugar: quantityOf(found.co2FromSugarGPerL, 'g/L'),
    pureAlcoholAdded: quantityOf(found.pureAlcoholAddedL, 'L'),
    strengthAdded: quantityOf(found.strengthAddedPercent, '%'),
    strengthAfter: quantityOf(found.strengthAfterPercent, '%'),
    volumeChange: quantityOf(found.volumeChangeL, 'L'),
    method: CONDITIONING_METHOD,
    warnings: [...found.warnings],
  };
}
