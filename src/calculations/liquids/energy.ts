import { ApiProperty } from '@nestjs/swagger';
import { ENERGY_METHOD, energyPer100Ml } from '../../alcoholometry/liquids/energy.js';
import { Optional } from '../../platform/validation/field.js';
import { CalculationResult, Quantity, quantityOf } from '../shared/answer.js';
import { IsExtract, IsGramsPerLitre, IsPercent } from '../shared/inputs.js';
import { baseOf } from '../shared/inputs.js';

export class EnergyRequest {
  @IsPercent({ description: 'By volume at 20 °C.', example: { value: 5, unit: '%' } })
  strength!: Quantity;

  @Optional()
  @IsExtract({ description: 'Real extract, °P, 0 to 60; all of it is then counted as carbohydrate.' })
  extract?: number;

  @Optional()
  @IsGramsPerLitre(800, {
    description: 'As analysed, in place of the extract.',
    example: { value: 20, unit: 'g/L' },
  })
  carbohydrate?: Quantity;
}

export class EnergyResult extends CalculationResult {
  @ApiProperty({
    type: [Quantity],
    minItems: 2,
    maxItems: 2,
    description: 'Energy in 100 mL, unrounded: in kJ/dL, then in kcal/dL.',
  })
  energy!: Quantity[];

  @ApiProperty({ type: Quantity, description: 'Alcohol in 100 mL, g/dL.' })
  alcohol!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Carbohydrate in 100 mL, g/dL.' })
  carbohydrate!: Quantity;
}

const LITRES_IN_100_ML = 0.1;

export function energy(input: EnergyRequest): EnergyResult {
  const found = energyPer100Ml({
    strengthPercent: baseOf('fraction', input.strength),
    extractPlato: input.extract,
    carbohydrateGPer100Ml: input.carbohydrate === undefined ? undefined : LITRES_IN_100_ML * input.carbohydrate.value,
  });
  return {
    energy: [quantityOf(found.kilojoulesPer100Ml, 'kJ/dL'), quantityOf(found.kilocaloriesPer100Ml, 'kcal/dL')],
    alcohol: quantityOf(found.alcoholGPer100Ml, 'g/dL'),
    carbohydrate: quantityOf(found.carbohydrateGPer100Ml, 'g/dL'),
    method: ENERGY_METHOD,
    warnings: [...found.warnings],
  };
}
