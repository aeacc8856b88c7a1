import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { Gravity } from '../../alcoholometry/liquids/gravity-scales.js';
import type { FermentableKind } from '../../alcoholometry/plans/fermentables.js';
import { FERMENTABLES } from '../../alcoholometry/plans/fermentables.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import { IsGravity, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity } from '../shared/answer.js';
import { IsPercent } from '../shared/inputs.js';

const CORRECTING_SUGARS = ['dextrose-anhydrous', 'dextrose-monohydrate', 'sucrose'] as const;
const MOST_FERMENTABLES = 20;

class Fermentable {
  @IsOneOf(FERMENTABLES, {
    description: 'malt and malt-extract need their extractYield.',
    example: 'dextrose-anhydrous',
  })
  kind!: FermentableKind;

  @IsQuantityOf(
    'mass',
    { min: 0 },
    {
      description: 'As weighed. With `wanted` only the proportions of the masses count.',
      example: { value: 16, unit: 'kg' },
    },
  )
  mass!: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 1, max: 100 },
    {
      description:
        'Malt and malt extract only: mass of extract over mass as weighed, after the losses of the brewhouse, 1 to 100 %.',
      example: { value: 62, unit: '%' },
    },
  )
  extractYield?: Quantity;
}

class FermentExpectation {
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

class WantedDrink {
  @IsPercent({ description: 'After fermentation, by volume at 20 °C.', example: { value: 12, unit: '%' } })
  strength!: Quantity;

  @IsQuantityOf(
    'volume',
    {},
    { description: 'After fermentation, degassed, yeast out, at 20 °C.', example: { value: 200, unit: 'L' } },
  )
  finalVolume!: Quantity;
}

class MeasuredOriginal {
  @IsGravity(
    {},
    { description: 'As measured, at the temperature of its scale.', example: { value: 1.058, scale: 'sg-20-20' } },
  )
  originalGravity!: Gravity;

  @Optional()
  @IsQuantityOf(
    'volume',
    {},
    { description: 'As measured, at 20 °C; the planned volume by default.', example: { value: 196, unit: 'L' } },
  )
  volume?: Quantity;

  @Optional()
  @IsOneOf(CORRECTING_SUGARS, {
    description: 'Sugar that corrects a shortfall; dextrose-anhydrous by default.',
    example: 'sucrose',
  })
  correctWith?: (typeof CORRECTING_SUGARS)[number];
}

export class PlanRequest {
  @NestedList(() => Fermentable, { min: 1, max: MOST_FERMENTABLES })
  fermentables!: Fermentable[];

  @Optional()
  @IsQuantityOf(
    'volume',
    {},
    { description: 'Forwards: of the wash or wort before yeast, at 20 °C.', example: { value: 200, unit: 'L' } },
  )
  volume?: Quantity;

  @Optional()
  @Nested(() => WantedDrink, { description: 'In place of `volume`: the drink that is wanted.' })
  wanted?: WantedDrink;

  @Nested(() => FermentExpectation, { description: 'Expected end of fermentation; exactly one of the three.' })
  expectation!: FermentExpectation;

  @Optional()
  @Nested(() => MeasuredOriginal, {
    description: 'Gravity measured before the yeast is added, to be compared with the plan.',
  })
  measured?: MeasuredOriginal;
}

class WeighedFermentable {
  @ApiProperty({ type: 'string', enum: [...FERMENTABLES] })
  kind!: FermentableKind;

  @ApiProperty({ type: Quantity, description: 'Mass to weigh out.' })
  mass!: Quantity;
}

class PlannedGravity {
  @ApiProperty({ type: 'number', format: 'double', description: 'Apparent specific gravity 20/20 °C.' })
  specificGravity20!: number;

  @ApiProperty({ type: 'number', format: 'double', description: '°P on the sucrose scale.' })
  extract!: number;
}

class GravityShortfall {
  @ApiProperty({ type: 'number', format: 'double', description: 'Original extract as measured, °P.' })
  extract!: number;

  @ApiProperty({ type: Quantity, description: 'Strength that the plan gives.' })
  plannedStrength!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Strength to expect from the gravity as measured.' })
  expectedStrength!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Expected minus planned.' })
  strengthChange!: Quantity;

  @ApiProperty({
    type: Quantity,
    description: 'Sugar to add before fermentation to reach the plan; zero where the gravity is not below it.',
  })
  sugarMass!: Quantity;

  @ApiProperty({
    type: Quantity,
    description: 'Water to add to come down to the plan; zero where the gravity is not above it.',
  })
  waterMass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'After the correction, at 20 °C.' })
  volumeAfter!: Quantity;
}

export class PlanResult extends CalculationResult {
  @ApiProperty({ type: [WeighedFermentable], maxItems: MOST_FERMENTABLES })
  fermentables!: WeighedFermentable[];

  @ApiProperty({ type: Quantity, description: 'Water to add.' })
  waterMass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Wash or wort before yeast, at 20 °C.' })
  volume!: Quantity;

  @ApiProperty({ type: PlannedGravity })
  original!: PlannedGravity;

  @ApiProperty({ type: PlannedGravity })
  final!: PlannedGravity;

  @ApiProperty({ type: 'number', format: 'double', description: 'Real extract after fermentation, °P.' })
  realExtract!: number;

  @ApiProperty({ type: Quantity })
  apparentAttenuation!: Quantity;

  @ApiProperty({ type: Quantity, description: 'After fermentation, by volume at 20 °C.' })
  strength!: Quantity;

  @ApiProperty({ type: Quantity, description: 'After fermentation.' })
  alcoholByMass!: Quantity;

  @ApiProperty({ type: Quantity, description: 'After fermentation, degassed, yeast out, at 20 °C.' })
  finalVolume!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Change of volume in fermentation.' })
  volumeChange!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Litres of pure alcohol at 20 °C.' })
  pureAlcohol!: Quantity;

  @ApiProperty({ type: Quantity, description: 'CO₂ released.' })
  carbonDioxide!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Yeast grown, dry.' })
  yeastDryMatter!: Quantity;

  @ApiPropertyOptional({ type: GravityShortfall, description: 'Present where `measured` was given.' })
  shortfall?: GravityShortfall;
}
