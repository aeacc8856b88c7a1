import { ApiProperty } from '@nestjs/swagger';
import type { GravityScale } from '../../alcoholometry/liquids/gravity-scales.js';
import { GRAVITY_SCALES } from '../../alcoholometry/liquids/gravity-scales.js';
import type { HydrometerLiquid } from '../../alcoholometry/hydrometry/hydrometer.js';
import { correctHydrometer } from '../../alcoholometry/hydrometry/hydrometer.js';
import { Optional } from '../../platform/validation/field.js';
import { IsGravity, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, figure, quantityOf } from '../shared/answer.js';
import { IsExtract, IsPercent, baseOf } from '../shared/inputs.js';
import { given, requireInputs } from '../shared/refusal.js';

const LIQUIDS = ['sugar-solution', 'alcohol-water', 'finished-drink'] as const;

class Gravity {
  @ApiProperty({ type: 'number', format: 'double' })
  value!: number;

  @ApiProperty({ type: 'string', enum: [...GRAVITY_SCALES] })
  scale!: GravityScale;
}

export class HydrometerCorrectionRequest {
  @IsGravity({}, { description: 'As read.', example: { value: 1.048, scale: 'sg-20-20' } })
  reading!: Gravity;

  @IsQuantityOf('temperature', {}, { description: 'Of the sample, 0 to 40 °C.', example: { value: 28, unit: 'Cel' } })
  sampleTemperature!: Quantity;

  @IsOneOf(LIQUIDS, { description: 'Liquid in which the hydrometer floats; it determines the thermal expansion.' })
  liquid!: (typeof LIQUIDS)[number];

  @Optional()
  @IsPercent({ description: 'Of a finished drink, by volume at 20 °C.', example: { value: 5, unit: '%' } })
  strength?: Quantity;

  @Optional()
  @IsExtract({ description: 'Real extract of a finished drink, °P.' })
  extract?: number;
}

export class HydrometerCorrectionResult extends CalculationResult {
  @ApiProperty({ type: Gravity, description: "On the reading's scale; for sg-15-15 and sg-60f-60f on sg-20-20." })
  gravityAt20!: Gravity;

  @ApiProperty({ type: Quantity, description: 'True density at the temperature of the sample.' })
  density!: Quantity;

  @ApiProperty({ type: Quantity, description: 'True density at 20 °C.' })
  densityAt20!: Quantity;
}

const METHOD = {
  id: 'hydrometer-correction',
  version: '1.0.0',
  source: 'ISO 1768 (glass 25e-6/K), ICUMSA SPS-4, OIML R 22, Tabarié',
};

function liquidOf(input: HydrometerCorrectionRequest): HydrometerLiquid {
  const ofDrink = ['strength', 'extract'];
  const needed = input.liquid === 'finished-drink' ? ofDrink : [];
  requireInputs(input, ofDrink, needed, [], `A ${input.liquid}`);
  if (input.liquid !== 'finished-drink') {
    return { kind: input.liquid };
  }
  return {
    kind: 'finished-drink',
    strengthPercent: baseOf('fraction', given(input.strength)),
    extractPlato: given(input.extract),
  };
}

export function hydrometerCorrection(input: HydrometerCorrectionRequest): HydrometerCorrectionResult {
  const corrected = correctHydrometer({
    reading: input.reading,
    sampleTemperatureC: baseOf('temperature', input.sampleTemperature),
    liquid: liquidOf(input),
  });
  const changesScale = corrected.gravityAt20.scale !== input.reading.scale;
  return {
    gravityAt20: { value: figure(corrected.gravityAt20.value), scale: corrected.gravityAt20.scale },
    density: quantityOf(corrected.densityKgM3, 'kg/m3'),
    densityAt20: quantityOf(corrected.densityAt20KgM3, 'kg/m3'),
    method: METHOD,
    warnings: changesScale
      ? [`Values of ${input.reading.scale} do not belong to 20 °C: the answer is on sg-20-20.`]
      : [],
  };
}
