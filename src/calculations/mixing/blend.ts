import { ApiProperty } from '@nestjs/swagger';
import {
  BLEND_METHOD,
  MAXIMUM_BLEND_COMPONENTS,
  MINIMUM_BLEND_COMPONENTS,
  blend as drawBlend,
} from '../../alcoholometry/mixing/blend.js';
import type { MetrologyError } from '../../metrology/problem.js';
import type { FieldError } from '../../platform/problems/problem.exception.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import { IsPlainText, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, quantityOf } from '../shared/answer.js';
import { IsExtract, IsPercent, baseOf } from '../shared/inputs.js';

class AvailableLiquid {
  @IsPlainText({ max: 60 }, { description: 'Name of the component in the answer.', example: 'strong' })
  name!: string;

  @IsPercent({ description: 'By volume at 20 °C.', example: { value: 12.4, unit: '%' } })
  strength!: Quantity;

  @IsQuantityOf('volume', {}, { description: 'Available volume, at 20 °C.', example: { value: 80, unit: 'L' } })
  available!: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'Least volume to draw, at 20 °C.', example: { value: 5, unit: 'L' } })
  minimum?: Quantity;

  @Optional()
  @IsQuantityOf(
    'density',
    {},
    { description: 'True density at 20 °C, as measured.', example: { value: 998.2, unit: 'kg/m3' } },
  )
  density?: Quantity;

  @Optional()
  @IsExtract()
  extract?: number;
}

class BlendTarget {
  @IsQuantityOf('volume', {}, { description: 'Wanted, at 20 °C.', example: { value: 100, unit: 'L' } })
  volume!: Quantity;

  @IsPercent({ description: 'Wanted, by volume at 20 °C.', example: { value: 5, unit: '%' } })
  strength!: Quantity;
}

export class BlendRequest {
  @NestedList(() => AvailableLiquid, { min: MINIMUM_BLEND_COMPONENTS, max: MAXIMUM_BLEND_COMPONENTS })
  components!: AvailableLiquid[];

  @Nested(() => BlendTarget)
  target!: BlendTarget;
}

class BlendDraw {
  @ApiProperty({ type: 'string', maxLength: 60, pattern: '^.*$' })
  name!: string;

  @ApiProperty({ type: Quantity, description: 'To draw, at 20 °C; zero where it is not used.' })
  volume!: Quantity;

  @ApiProperty({ type: Quantity })
  mass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Litres of pure alcohol in it.' })
  pureAlcohol!: Quantity;
}

export class BlendResult extends CalculationResult {
  @ApiProperty({
    type: [BlendDraw],
    maxItems: MAXIMUM_BLEND_COMPONENTS,
    description: 'In the order of the components.',
  })
  draw!: BlendDraw[];

  @ApiProperty({ type: Quantity, description: 'Of the result, at 20 °C.' })
  volume!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Result minus draws, all at 20 °C.' })
  volumeChange!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Of the result, by volume at 20 °C.' })
  strength!: Quantity;

  @ApiProperty({
    type: 'string',
    maxLength: 300,
    pattern: '^.*$',
    description: 'Objective that was minimised among all possible draws.',
  })
  objective!: string;
}

const quantityOrNull = (value: unknown, unit: string): Quantity | null =>
  typeof value === 'number' ? quantityOf(value, unit) : null;

/** Adds the nearest possible blend to the refusal of an impossible one. */
export function withNearest(error: MetrologyError, field: FieldError): FieldError {
  if (error.rule !== 'no-solution') {
    return field;
  }
  const { nearestStrengthPercent, nearestVolumeL, ...rest } = field;
  return {
    ...(rest as FieldError),
    nearest: {
      strength: quantityOrNull(nearestStrengthPercent, '%'),
      volume: quantityOrNull(nearestVolumeL, 'L'),
    },
  };
}

export async function blend(input: BlendRequest): Promise<BlendResult> {
  const found = await drawBlend({
    components: input.components.map((component) => ({
      name: component.name,
      strengthPercent: baseOf('fraction', component.strength),
      availableL: baseOf('volume', component.available),
      minimumL: baseOf('volume', component.minimum),
      densityKgM3: baseOf('density', component.density),
      extractPlato: component.extract,
    })),
    target: {
      volumeL: baseOf('volume', input.target.volume),
      strengthPercent: baseOf('fraction', input.target.strength),
    },
  });
  return {
    draw: found.draw.map(({ name, volumeL, massKg, pureAlcoholL }) => ({
      name,
      volume: quantityOf(volumeL, 'L'),
      mass: quantityOf(massKg, 'kg'),
      pureAlcohol: quantityOf(pureAlcoholL, 'L'),
    })),
    volume: quantityOf(found.result.volumeL, 'L'),
    volumeChange: quantityOf(found.volumeChangeL, 'L'),
    strength: quantityOf(found.strengthPercent, '%'),
    objective: found.objective,
    method: BLEND_METHOD,
    warnings: [...found.warnings],
  };
}
