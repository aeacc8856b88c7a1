import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { Gravity } from '../../alcoholometry/liquids/gravity-scales.js';
import type { FermentableKind } from '../../alcoholometry/plans/plan.js';
import type { Quantity } from '../../metrology/units.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsGravity, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { AnswerDto, QuantityDto } from '../shared/answer.js';
import { IsPercent } from '../shared/inputs.js';

export const FERMENTABLES = ['dextrose', 'dextrose-monohydrate', 'sucrose', 'malt'] as const;
export const MENDING_SUGARS = ['dextrose', 'dextrose-monohydrate', 'sucrose'] as const;
const MOST_FERMENTABLES = 20;

class FermentableDto {
  @IsOneOf(FERMENTABLES, { description: 'malt needs its extractYield.', example: 'dextrose' })
  kind!: FermentableKind;

  @IsQuantityOf(
    'mass',
    { min: 0 },
    {
      description: 'As weighed; with `wanted` the masses count as proportions only.',
      example: { value: 16, unit: 'kg' },
    },
  )
  mass!: Quantity;

  @Optional()
  @IsDecimalNumber(
    {},
    { description: 'Malt only: extract over mass as weighed, brewhouse losses included, 0.01 to 1.', example: 0.62 },
  )
  extractYield?: number;
}

class ExpectationDto {
  @Optional()
  @IsQuantityOf(
    'fraction',
    {},
    { description: '0 to 140 %; above 100 % the hydrometer sinks below water.', example: { value: 115, unit: '%' } },
  )
  apparentAttenuation?: Quantity;

  @Optional()
  @IsPercent({ description: 'Of the real extract.', example: { value: 95, unit: '%' } })
  realAttenuation?: Quantity;

  @Optional()
  @IsGravity({}, { description: 'At the temperature of its scale.', example: { value: 0.996, scale: 'sg-20-20' } })
  finalGravity?: Gravity;
}

class WantedDto {
  @IsPercent({ description: 'After fermentation, by volume at 20 °C.', example: { value: 12, unit: '%' } })
  strength!: Quantity;

  @IsQuantityOf(
    'volume',
    {},
    { description: 'After fermentation, degassed, yeast out, at 20 °C.', example: { value: 200, unit: 'L' } },
  )
  finalVolume!: Quantity;
}

class MeasuredOriginalDto {
  @IsGravity(
    {},
    { description: 'As found, at the temperature of its scale.', example: { value: 1.058, scale: 'sg-20-20' } },
  )
  originalGravity!: Gravity;

  @Optional()
  @IsQuantityOf(
    'volume',
    {},
    { description: 'As found, at 20 °C; the planned volume unless said.', example: { value: 196, unit: 'L' } },
  )
  volume?: Quantity;

  @Optional()
  @IsOneOf(MENDING_SUGARS, { description: 'What would mend a shortfall; dextrose unless said.', example: 'sucrose' })
  mendWith?: (typeof MENDING_SUGARS)[number];
}

export class PlanDto {
  @NestedList(() => FermentableDto, { min: 1, max: MOST_FERMENTABLES })
  fermentables!: FermentableDto[];

  @Optional()
  @IsQuantityOf(
    'volume',
    {},
    { description: 'Forwards: of the wash or wort before yeast, at 20 °C.', example: { value: 200, unit: 'L' } },
  )
  volume?: Quantity;

  @Optional()
  @Nested(() => WantedDto, { description: 'Backwards, in place of `volume`: what is to come out.' })
  wanted?: WantedDto;

  @Nested(() => ExpectationDto, { description: 'How far it is expected to ferment; exactly one.' })
  expectation!: ExpectationDto;

  @Optional()
  @Nested(() => MeasuredOriginalDto, { description: 'What was found before yeast, to hold the plan against.' })
  measured?: MeasuredOriginalDto;
}

class PlannedFermentableDto {
  @ApiProperty({ type: 'string', enum: [...FERMENTABLES] })
  kind!: FermentableKind;

  @ApiProperty({ type: QuantityDto, description: 'To weigh out.' })
  mass!: QuantityDto;
}

class PlannedGravityDto {
  @ApiProperty({ type: 'number', format: 'double', description: 'Apparent specific gravity 20/20 °C.' })
  specificGravity20!: number;

  @ApiProperty({ type: 'number', format: 'double', description: '°P on the sucrose scale.' })
  extract!: number;
}

class ShortfallDto {
  @ApiProperty({ type: 'number', format: 'double', description: 'Original extract as found, °P.' })
  extract!: number;

  @ApiProperty({ type: QuantityDto, description: 'Strength that the plan gives.' })
  plannedStrength!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Strength to expect of what was found.' })
  expectedStrength!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Expected less planned.' })
  strengthChange!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Sugar that mends it before fermentation; zero if it is not short.' })
  sugarMass!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Water that mends it; zero if it is not above the plan.' })
  waterMass!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'After mending, at 20 °C.' })
  volumeAfter!: QuantityDto;
}

export class PlanAnswerDto extends AnswerDto {
  @ApiProperty({ type: [PlannedFermentableDto], maxItems: MOST_FERMENTABLES })
  fermentables!: PlannedFermentableDto[];

  @ApiProperty({ type: QuantityDto, description: 'To fill up with.' })
  waterMass!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Wash or wort before yeast, at 20 °C.' })
  volume!: QuantityDto;

  @ApiProperty({ type: PlannedGravityDto })
  original!: PlannedGravityDto;

  @ApiProperty({ type: PlannedGravityDto })
  final!: PlannedGravityDto;

  @ApiProperty({ type: 'number', format: 'double', description: 'Real extract after fermentation, °P.' })
  realExtract!: number;

  @ApiProperty({ type: QuantityDto })
  apparentAttenuation!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'After fermentation, by volume at 20 °C.' })
  strength!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'After fermentation.' })
  alcoholByMass!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'After fermentation, degassed, yeast out, at 20 °C.' })
  finalVolume!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'What fermentation does to the volume.' })
  volumeChange!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Litres of pure alcohol at 20 °C.' })
  pureAlcohol!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'CO₂ set free.' })
  carbonDioxide!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Yeast grown, dry.' })
  yeastDryMatter!: QuantityDto;

  @ApiPropertyOptional({ type: ShortfallDto, description: 'Where `measured` was given.' })
  shortfall?: ShortfallDto;
}
