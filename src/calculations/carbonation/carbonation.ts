import { ApiProperty } from '@nestjs/swagger';
import { gaugePressureForVolumes, volumesForGaugePressure } from '../../alcoholometry/carbonation/carbonation.js';
import { Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, figure, quantityOf } from '../shared/answer.js';
import { IsExtract, IsPercent, baseOf } from '../shared/inputs.js';
import { given, requireExactlyOne } from '../shared/refusal.js';

export class CarbonationRequest {
  @IsQuantityOf('temperature', {}, { description: 'Of the liquid, 0 to 40 °C.', example: { value: 4, unit: 'Cel' } })
  temperature!: Quantity;

  @Optional()
  @IsDecimalNumber({}, { description: 'Wanted: litres of gas at 0 °C and 1 atm in a litre of liquid.', example: 2.5 })
  volumesOfCO2?: number;

  @Optional()
  @IsQuantityOf(
    'pressure',
    {},
    { description: 'In place of volumesOfCO2: the pressure that is set.', example: { value: 80, unit: 'kPa' } },
  )
  gaugePressure?: Quantity;

  @Optional()
  @IsQuantityOf(
    'pressure',
    {},
    { description: 'Atmospheric pressure; 101.325 kPa by default.', example: { value: 95, unit: 'kPa' } },
  )
  atmosphericPressure?: Quantity;

  @Optional()
  @IsPercent({ description: 'Of the drink; affects only the cautions.', example: { value: 5, unit: '%' } })
  strength?: Quantity;

  @Optional()
  @IsExtract({ description: 'Real extract of the drink, °P; affects only the cautions.' })
  extract?: number;
}

export class CarbonationResult extends CalculationResult {
  @ApiProperty({ type: Quantity, description: 'Above the atmospheric pressure, at equilibrium.' })
  gaugePressure!: Quantity;

  @ApiProperty({ type: Quantity, description: 'CO₂ in the liquid, g/L.' })
  dissolved!: Quantity;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'Litres of gas at 0 °C and 1 atm in a litre of liquid.',
  })
  volumesOfCO2!: number;
}

const METHOD = { id: 'co2-equilibrium', version: '1.0.0', source: 'Weiss 1974, solubility of CO2 in water' };

export function carbonation(input: CarbonationRequest): CarbonationResult {
  const known = requireExactlyOne(input, ['volumesOfCO2', 'gaugePressure']);
  const conditions = {
    temperatureC: baseOf('temperature', input.temperature),
    atmosphericPressureKPa: baseOf('pressure', input.atmosphericPressure),
    strengthPercent: baseOf('fraction', input.strength),
    extractPlato: input.extract,
  };
  const found =
    known === 'volumesOfCO2'
      ? gaugePressureForVolumes(conditions, given(input.volumesOfCO2))
      : volumesForGaugePressure(conditions, baseOf('pressure', given(input.gaugePressure)));
  return {
    gaugePressure: quantityOf(found.gaugePressureKPa, 'kPa'),
    dissolved: quantityOf(found.dissolvedGPerL, 'g/L'),
    volumesOfCO2: figure(found.volumesOfCO2),
    method: METHOD,
    warnings: [...found.warnings],
  };
}
