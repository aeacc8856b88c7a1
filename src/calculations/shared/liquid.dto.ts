import { ApiProperty } from '@nestjs/swagger';
import type { Liquid, LiquidSpec } from '../../alcoholometry/liquids/liquid.js';
import { Optional } from '../../platform/validation/field.js';
import { IsQuantityOf } from '../../platform/validation/fields.js';
import { Quantity, figure, quantityOf } from './answer.js';
import { IsExtract, IsPercent, baseOf } from './inputs.js';

/** A liquid as stated in a request. */
export class StatedLiquid {
  @IsPercent({ description: 'By volume at 20 °C; 0 for a liquid without alcohol.', example: { value: 5, unit: '%' } })
  strength!: Quantity;

  @Optional()
  @IsExtract({ description: 'Real extract, °P; of a syrup its °Bx. Zero by default.' })
  extract?: number;

  @Optional()
  @IsQuantityOf(
    'density',
    {},
    { description: 'True density at 20 °C, as measured.', example: { value: 1004.2, unit: 'kg/m3' } },
  )
  density?: Quantity;
}

/** The same with the temperature at which its volume is read. */
export class StatedLiquidAtTemperature extends StatedLiquid {
  @Optional()
  @IsQuantityOf(
    'temperature',
    {},
    { description: 'At which its volume is read; 20 °C by default.', example: { value: 18, unit: 'Cel' } },
  )
  temperature?: Quantity;
}

export class LiquidResult {
  @ApiProperty({ type: Quantity, description: 'At 20 °C.' })
  volume!: Quantity;

  @ApiProperty({ type: Quantity, description: 'True mass.' })
  mass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'By volume at 20 °C.' })
  strength!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Litres of pure alcohol at 20 °C.' })
  pureAlcohol!: Quantity;

  @ApiProperty({ type: 'number', format: 'double', description: 'Real extract, °P.' })
  extract!: number;

  @ApiProperty({ type: Quantity, description: 'True density at 20 °C.' })
  density!: Quantity;
}

export const specOf = (liquid: StatedLiquid): LiquidSpec => ({
  strengthPercent: baseOf('fraction', liquid.strength),
  extractPlato: liquid.extract,
  densityKgM3: baseOf('density', liquid.density),
});

export const toLiquidResult = (liquid: Liquid): LiquidResult => ({
  volume: quantityOf(liquid.volumeL, 'L'),
  mass: quantityOf(liquid.massKg, 'kg'),
  strength: quantityOf(liquid.strengthPercent, '%'),
  pureAlcohol: quantityOf(liquid.pureAlcoholL, 'L'),
  extract: figure(liquid.extractPlato),
  density: quantityOf(liquid.densityKgM3, 'kg/m3'),
});
