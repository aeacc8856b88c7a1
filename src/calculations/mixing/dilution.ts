import { ApiProperty } from '@nestjs/swagger';
import { DILUTION_METHOD, dilute } from '../../alcoholometry/mixing/dilution.js';
import { Optional } from '../../platform/validation/field.js';
import { IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, quantityOf } from '../shared/answer.js';
import { IsExtract, IsPercent, baseOf } from '../shared/inputs.js';
import { requireExactlyOne } from '../shared/refusal.js';

export class DilutionRequest {
  @IsPercent({ description: 'Of the liquid to be diluted, by volume at 20 °C.', example: { value: 96, unit: '%' } })
  strength!: Quantity;

  @IsPercent({ description: 'Wanted, by volume at 20 °C.', example: { value: 5, unit: '%' } })
  targetStrength!: Quantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    {},
    { description: 'Of the liquid to be diluted, at its temperature.', example: { value: 10, unit: 'L' } },
  )
  volume?: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'Wanted of the result, at 20 °C.', example: { value: 200, unit: 'L' } })
  finalVolume?: Quantity;

  @Optional()
  @IsQuantityOf(
    'temperature',
    {},
    { description: 'At which `volume` is read; 20 °C by default.', example: { value: 18, unit: 'Cel' } },
  )
  temperature?: Quantity;

  @Optional()
  @IsQuantityOf(
    'temperature',
    { min: 0, max: 40 },
    { description: 'At which the water is measured out; 20 °C by default.', example: { value: 12, unit: 'Cel' } },
  )
  waterTemperature?: Quantity;

  @Optional()
  @IsQuantityOf(
    'density',
    {},
    { description: 'True density of the liquid at 20 °C, as measured.', example: { value: 1004.2, unit: 'kg/m3' } },
  )
  density?: Quantity;

  @Optional()
  @IsExtract({ description: 'Real extract of the liquid, °P.' })
  extract?: number;
}

export class DilutionResult extends CalculationResult {
  @ApiProperty({ type: Quantity, description: 'Water to add.' })
  waterMass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Water to add, at 20 °C.' })
  waterVolume!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Water to add, at the temperature at which it is measured out.' })
  waterVolumeAtTemperature!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Liquid to be diluted, at 20 °C.' })
  volume!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Liquid to be diluted, at its temperature.' })
  volumeAtTemperature!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Result, at 20 °C.' })
  finalVolume!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Result minus inputs, all at 20 °C; volumes do not add.' })
  volumeChange!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Litres of pure alcohol at 20 °C.' })
  pureAlcohol!: Quantity;
}

const NAMES: Readonly<Record<string, string>> = { 'addition.temperature': 'waterTemperature' };

/** The pure function calls the liquid `start` and the water `addition`. */
export const dilutionName = (name: string): string => NAMES[name] ?? name.replace(/^start\./, '');

export function dilution(input: DilutionRequest): DilutionResult {
  requireExactlyOne(input, ['volume', 'finalVolume']);
  const found = dilute({
    strengthPercent: baseOf('fraction', input.strength),
    targetStrengthPercent: baseOf('fraction', input.targetStrength),
    volumeL: baseOf('volume', input.volume),
    finalVolumeL: baseOf('volume', input.finalVolume),
    temperatureC: baseOf('temperature', input.temperature),
    waterTemperatureC: baseOf('temperature', input.waterTemperature),
    densityKgM3: baseOf('density', input.density),
    extractPlato: input.extract,
  });
  return {
    waterMass: quantityOf(found.waterMassKg, 'kg'),
    waterVolume: quantityOf(found.waterVolumeL, 'L'),
    waterVolumeAtTemperature: quantityOf(found.waterVolumeAtTemperatureL, 'L'),
    volume: quantityOf(found.volumeL, 'L'),
    volumeAtTemperature: quantityOf(found.volumeAtTemperatureL, 'L'),
    finalVolume: quantityOf(found.finalVolumeL, 'L'),
    volumeChange: quantityOf(found.volumeChangeL, 'L'),
    pureAlcohol: quantityOf(found.pureAlcoholL, 'L'),
    method: DILUTION_METHOD,
    warnings: [...found.warnings],
  };
}
