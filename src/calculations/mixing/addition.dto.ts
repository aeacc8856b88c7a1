import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { Solid } from '../../alcoholometry/mixing/solids.js';
import type { Quantity } from '../../metrology/units.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import { IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { AnswerDto, QuantityDto } from '../shared/answer.js';
import { IsPercent } from '../shared/inputs.js';
import { LiquidAnswerDto, LiquidAtTemperatureDto } from '../shared/liquid.dto.js';

export const ADDITION_KINDS = ['dose', 'solids', 'to-strength'] as const;
export const SOLIDS = ['sucrose', 'dextrose', 'dextrose-monohydrate', 'other-soluble'] as const;
export const DOSED_PER = ['bottle', 'litre-of-finished-drink', 'litre-of-base'] as const;

class DoseDto {
  @IsQuantityOf('volume', { min: 0 }, { description: 'Of the addition, at 20 °C.', example: { value: 4, unit: 'mL' } })
  volume!: Quantity;

  @IsOneOf(DOSED_PER, { description: 'What takes it: a bottle filled up, or a litre.', example: 'bottle' })
  per!: (typeof DOSED_PER)[number];

  @Optional()
  @IsQuantityOf(
    'volume',
    {},
    { description: 'Of the bottle, where it is per bottle.', example: { value: 330, unit: 'mL' } },
  )
  bottle?: Quantity;
}

export class AdditionDto {
  @IsOneOf(ADDITION_KINDS, {
    description:
      'dose takes `addition` and `dose`; solids takes `solid` and `mass`; to-strength (fortification, or dilution with a liquid ' +
      'that is not water) takes `addition`, `targetStrength` and one of `volume` and `finalVolume`.',
    example: 'dose',
  })
  kind!: (typeof ADDITION_KINDS)[number];

  @Nested(() => LiquidAtTemperatureDto, { description: 'What is added to. Only to-strength takes a temperature.' })
  base!: LiquidAtTemperatureDto;

  @Optional()
  @Nested(() => LiquidAtTemperatureDto, {
    description: 'What is added, with its own alcohol and sugar. Only to-strength takes a temperature.',
  })
  addition?: LiquidAtTemperatureDto;

  @Optional()
  @Nested(() => DoseDto)
  dose?: DoseDto;

  @Optional()
  @IsOneOf(SOLIDS, { description: 'What is dissolved.', example: 'sucrose' })
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
  @IsPercent({ description: 'What the label says, to hold the result against.', example: { value: 5, unit: '%' } })
  declaredStrength?: Quantity;
}

class LabelDto {
  @ApiProperty({ type: QuantityDto })
  declaredStrength!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Strength of the result less the declared one.' })
  difference!: QuantityDto;
}

export class AdditionAnswerDto extends AnswerDto {
  @ApiProperty({ type: LiquidAnswerDto, description: 'What was added to.' })
  base!: LiquidAnswerDto;

  @ApiPropertyOptional({ type: LiquidAnswerDto, description: 'The liquid that is added.' })
  addition?: LiquidAnswerDto;

  @ApiPropertyOptional({
    type: QuantityDto,
    description: 'The addition at the temperature at which it is measured out.',
  })
  additionVolumeAtTemperature?: QuantityDto;

  @ApiProperty({ type: LiquidAnswerDto })
  result!: LiquidAnswerDto;

  @ApiProperty({ type: QuantityDto, description: 'Result less base, % vol.' })
  strengthChange!: QuantityDto;

  @ApiProperty({ type: 'number', format: 'double', description: 'Result less base, °P.' })
  extractChange!: number;

  @ApiProperty({
    type: QuantityDto,
    description: 'Result minus inputs, at 20 °C; of solids, what dissolving them adds.',
  })
  volumeChange!: QuantityDto;

  @ApiProperty({
    type: 'number',
    format: 'double',
    minimum: 0,
    maximum: 1,
    description: 'Part of the alcohol in the result that the addition brought.',
  })
  alcoholShareAdded!: number;

  @ApiPropertyOptional({ type: LabelDto })
  label?: LabelDto;
}
