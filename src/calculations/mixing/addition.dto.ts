import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { Solid } from '../../alcoholometry/mixing/solids.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import { IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity } from '../shared/answer.js';
import { IsPercent } from '../shared/inputs.js';
import { LiquidResult, StatedLiquidAtTemperature } from '../shared/liquid.dto.js';

const ADDITION_KINDS = ['dose', 'solids', 'to-strength'] as const;
const SOLIDS = ['sucrose', 'dextrose-anhydrous', 'dextrose-monohydrate', 'other-soluble'] as const;
const DOSED_PER = ['bottle', 'litre-of-finished-drink', 'litre-of-base'] as const;

class Dose {
  @IsQuantityOf('volume', { min: 0 }, { description: 'Of the addition, at 20 °C.', example: { value: 4, unit: 'mL' } })
  volume!: Quantity;

  @IsOneOf(DOSED_PER, {
    description: 'Volume to which the dose belongs: a full bottle, or a litre.',
    example: 'bottle',
  })
  per!: (typeof DOSED_PER)[number];

  @Optional()
  @IsQuantityOf(
    'volume',
    {},
    { description: 'Of the bottle, where it is per bottle.', example: { value: 330, unit: 'mL' } },
  )
  bottle?: Quantity;
}

export class AdditionRequest {
  @IsOneOf(ADDITION_KINDS, {
    description:
      'dose takes `addition` and `dose`; solids takes `solid` and `mass`; to-strength (fortification, or dilution with a liquid ' +
      'that is not water) takes `addition`, `targetStrength` and one of `volume` and `finalVolume`.',
    example: 'dose',
  })
  kind!: (typeof ADDITION_KINDS)[number];

  @Nested(() => StatedLiquidAtTemperature, {
    description: 'Liquid to which something is added. Only to-strength takes a temperature.',
  })
  base!: StatedLiquidAtTemperature;

  @Optional()
  @Nested(() => StatedLiquidAtTemperature, {
    description: 'Liquid that is added, with its own alcohol and sugar. Only to-strength takes a temperature.',
  })
  addition?: StatedLiquidAtTemperature;

  @Optional()
  @Nested(() => Dose)
  dose?: Dose;

  @Optional()
  @IsOneOf(SOLIDS, { description: 'Solid that is dissolved.', example: 'sucrose' })
  solid?: Solid;

  @Optional()
  @IsQuantityOf('mass', {}, { description: 'Of the solid, as weighed.', example: { value: 12, unit: 'kg' } })
  mass?: Quantity;

  @Optional()
  @IsPercent({ description: 'Wanted, by volume at 20 °C.', example: { value: 18, unit: '%' } })
  targetStrength?: Quantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    {},
    {
      description: 'Of the base: at its temperature for to-strength, else at 20 °C.',
      example: { value: 100, unit: 'L' },
    },
  )
  volume?: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'Wanted of the result, at 20 °C.', example: { value: 100, unit: 'L' } })
  finalVolume?: Quantity;

  @Optional()
  @IsPercent({
    description: 'Strength on the label, to be compared with the result.',
    example: { value: 5, unit: '%' },
  })
  declaredStrength?: Quantity;
}

class LabelDifference {
  @ApiProperty({ type: Quantity })
  declaredStrength!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Strength of the result minus the declared one.' })
  difference!: Quantity;
}

export class AdditionResult extends CalculationResult {
  @ApiProperty({ type: LiquidResult, description: 'Liquid before the addition.' })
  base!: LiquidResult;

  @ApiPropertyOptional({ type: LiquidResult, description: 'The liquid that is added.' })
  addition?: LiquidResult;

  @ApiPropertyOptional({
    type: Quantity,
    description: 'The addition at the temperature at which it is measured out.',
  })
  additionVolumeAtTemperature?: Quantity;

  @ApiProperty({ type: LiquidResult })
  result!: LiquidResult;

  @ApiProperty({ type: Quantity, description: 'Result minus base, % vol.' })
  strengthChange!: Quantity;

  @ApiProperty({ type: 'number', format: 'double', description: 'Result minus base, °P.' })
  extractChange!: number;

  @ApiProperty({
    type: Quantity,
    description: 'Result minus inputs, at 20 °C; of solids, the volume that they add.',
  })
  volumeChange!: Quantity;

  @ApiProperty({
    type: 'number',
    format: 'double',
    minimum: 0,
    maximum: 1,
    description: 'Share of the alcohol in the result that comes from the addition.',
  })
  alcoholShareAdded!: number;

  @ApiPropertyOptional({ type: LabelDifference })
  label?: LabelDifference;
}
