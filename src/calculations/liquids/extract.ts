import { ApiProperty } from '@nestjs/swagger';
import type { Gravity } from '../../alcoholometry/liquids/gravity-scales.js';
import { toExtract } from '../../alcoholometry/liquids/gravity-scales.js';
import { IsGravity } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, figure, quantityOf } from '../shared/answer.js';

export class ExtractRequest {
  @IsGravity({}, { description: 'On any of the scales.', example: { value: 1.048, scale: 'sg-20-20' } })
  gravity!: Gravity;
}

export class ExtractResult extends CalculationResult {
  @ApiProperty({ type: 'number', format: 'double', description: 'Apparent specific gravity 20/20 °C.' })
  specificGravity20!: number;

  @ApiProperty({ type: 'number', format: 'double', description: 'Extract, °P.' })
  extract!: number;

  @ApiProperty({ type: Quantity, description: 'True density at 20 °C.' })
  density!: Quantity;
}

const METHOD = {
  id: 'sucrose-extract',
  version: '1.0.0',
  source: 'ICUMSA SPS-4 (1998), water by Kell; SG in air of 1.2 kg/m3',
};

const BELOW_WATER =
  'Below 0 °P the sucrose formula is continued: a convention, as no sugar solution is lighter than water.';

export function extract({ gravity }: ExtractRequest): ExtractResult {
  const { specificGravity20, extractPlato, densityKgM3At20 } = toExtract(gravity);
  return {
    specificGravity20: figure(specificGravity20),
    extract: figure(extractPlato),
    density: quantityOf(densityKgM3At20, 'kg/m3'),
    method: METHOD,
    warnings: extractPlato < 0 ? [BELOW_WATER] : [],
  };
}
