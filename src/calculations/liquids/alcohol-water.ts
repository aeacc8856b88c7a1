import { ApiProperty } from '@nestjs/swagger';
import {
  ethanolWaterDensityKgM3,
  massFractionFromDensity,
  massFractionFromVolumePercent,
  volumePercentFromMassFraction,
} from '../../alcoholometry/liquids/ethanol-water.js';
import { Optional } from '../../platform/validation/field.js';
import { IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, quantityOf } from '../shared/answer.js';
import { IsPercent, baseOf } from '../shared/inputs.js';
import { given, requireExactlyOne } from '../shared/refusal.js';

export class AlcoholWaterRequest {
  @IsQuantityOf(
    'temperature',
    {},
    { description: 'Of the mixture, −20 to 40 °C.', example: { value: 15, unit: 'Cel' } },
  )
  temperature!: Quantity;

  @Optional()
  @IsQuantityOf(
    'density',
    {},
    { description: 'True density at that temperature.', example: { value: 950, unit: 'kg/m3' } },
  )
  density?: Quantity;

  @Optional()
  @IsPercent({ description: 'Strength by volume at 20 °C.', example: { value: 40, unit: '%' } })
  volumeFraction?: Quantity;

  @Optional()
  @IsPercent({ description: 'Alcohol by mass.', example: { value: 33.3, unit: '%' } })
  massFraction?: Quantity;
}

export class AlcoholWaterResult extends CalculationResult {
  @ApiProperty({ type: Quantity, description: 'True density at the temperature given.' })
  density!: Quantity;

  @ApiProperty({ type: Quantity, description: 'True density at 20 °C.' })
  densityAt20!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Strength by volume at 20 °C.' })
  volumeFraction!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Alcohol by mass.' })
  massFraction!: Quantity;
}

const METHOD = {
  id: 'ethanol-water-density',
  version: '1.0.0',
  source: 'OIML R 22 (1975), general formula and its inverse',
};

const KNOWNS = ['density', 'volumeFraction', 'massFraction'] as const;

function massFractionOf(input: AlcoholWaterRequest, temperatureC: number): number {
  switch (requireExactlyOne(input, KNOWNS)) {
    case 'density':
      return massFractionFromDensity(baseOf('density', given(input.density)), temperatureC);
    case 'volumeFraction':
      return massFractionFromVolumePercent(baseOf('fraction', given(input.volumeFraction)));
    case 'massFraction':
      return baseOf('fraction', given(input.massFraction)) / 100;
  }
}

export function alcoholWater(input: AlcoholWaterRequest): AlcoholWaterResult {
  const temperatureC = baseOf('temperature', input.temperature);
  const massFraction = massFractionOf(input, temperatureC);
  return {
    density: quantityOf(ethanolWaterDensityKgM3(massFraction, temperatureC), 'kg/m3'),
    densityAt20: quantityOf(ethanolWaterDensityKgM3(massFraction, 20), 'kg/m3'),
    volumeFraction: quantityOf(volumePercentFromMassFraction(massFraction), '%'),
    massFraction: quantityOf(100 * massFraction, '%'),
    method: METHOD,
    warnings: [],
  };
}
