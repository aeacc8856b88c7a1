import { ApiProperty } from '@nestjs/swagger';
import type { WaterSalt } from '../../alcoholometry/water/brewing-water.js';
import { BREWING_WATER_METHOD, brewingWater, WATER_SALTS } from '../../alcoholometry/water/brewing-water.js';
import { NestedList, Optional } from '../../platform/validation/field.js';
import { IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import type { WaterIons } from '../../platform/validation/water-ions.js';
import { ionsMgPerL, IsWaterIons, toWaterIons } from '../../platform/validation/water-ions.js';
import { CalculationResult, Quantity, quantityOf } from '../shared/answer.js';
import { baseOf } from '../shared/inputs.js';

class WeighedSalt {
  @IsOneOf(WATER_SALTS, {
    description: 'With its water of crystallisation, as the label names it.',
    example: 'calcium-chloride-dihydrate',
  })
  salt!: WaterSalt;

  @IsQuantityOf('mass', { min: 0 }, { description: 'As weighed.', example: { value: 12, unit: 'g' } })
  mass!: Quantity;
}

export class BrewingWaterRequest {
  @IsQuantityOf('volume', {}, { description: 'Of the water.', example: { value: 200, unit: 'L' } })
  volume!: Quantity;

  @Optional()
  @IsWaterIons({
    description: 'The water before, from its analysis; distilled water if left out.',
    example: { calcium: { value: 40, unit: 'mg/L' }, bicarbonate: { value: 120, unit: 'mg/L' } },
  })
  base?: WaterIons;

  @NestedList(() => WeighedSalt, { max: 20 })
  salts!: WeighedSalt[];
}

export class BrewingWaterResult extends CalculationResult {
  @IsWaterIons({ description: 'Ions after the salts were dissolved.' })
  ions!: WaterIons;

  @IsWaterIons({ description: 'The part of them that the salts give.' })
  added!: WaterIons;

  @ApiProperty({ type: Quantity, description: 'Calcium and magnesium, as calcium carbonate.' })
  hardness!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Bicarbonate, as calcium carbonate.' })
  alkalinity!: Quantity;
}

/** The ions of brewing water from its analysis, the masses of salts and the volume. */
export function brewingWaterIons({ volume, base, salts }: BrewingWaterRequest): BrewingWaterResult {
  const found = brewingWater({
    volumeL: baseOf('volume', volume),
    base: ionsMgPerL(base),
    salts: salts.map(({ salt, mass }) => ({ salt, massKg: baseOf('mass', mass) })),
  });
  return {
    ions: toWaterIons(found.ions),
    added: toWaterIons(found.added),
    hardness: quantityOf(found.hardnessMgPerL, 'mg/L'),
    alkalinity: quantityOf(found.alkalinityMgPerL, 'mg/L'),
    method: BREWING_WATER_METHOD,
    warnings: [...found.warnings],
  };
}
