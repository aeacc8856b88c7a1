import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { GravityScale } from '../../alcoholometry/liquids/gravity-scales.js';
import { MINIMUM_DRAWS } from '../../metrology/monte-carlo.js';
import type { Distribution } from '../../metrology/uncertainty.js';
import type { Quantity } from '../../metrology/units.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsGravity, IsOneOf, IsQuantityOf, IsWholeNumber } from '../../platform/validation/fields.js';
import { AnswerDto, QuantityDto } from '../shared/answer.js';
import type { MeasuredQuantity } from '../shared/inputs.js';
import { IsGramsPerLitre, IsMeasured, IsPercent } from '../shared/inputs.js';

export const STRENGTH_METHODS = [
  'mass-balance',
  'gravity-drop-table',
  'alcohol-density',
  'alcoholometer',
  'certificate',
] as const;
export type StrengthMethod = (typeof STRENGTH_METHODS)[number];

export const WASHES = ['malt', 'sugar'] as const;
export const BASES = ['distilled', 'no-solids-added'] as const;

/** More draws than this belong into a program of one's own. */
export const MOST_DRAWS = 200_000;

export interface SampledGravity {
  readonly value: number;
  readonly scale: GravityScale;
  readonly sampleTemperature?: Quantity;
  readonly standardUncertainty?: number;
}

export class MonteCarloDto {
  @Optional()
  @IsWholeNumber({ min: MINIMUM_DRAWS, max: MOST_DRAWS }, { description: '100,000 unless said.', example: 20_000 })
  draws?: number;

  @IsWholeNumber({ min: 0, max: 4_294_967_295 }, { description: 'The same seed gives the same answer.', example: 1 })
  seed!: number;
}

const gravityWords = (which: string): string =>
  `${which} gravity (mass-balance, gravity-drop-table). Without sampleTemperature it is taken as at the temperature of the ` +
  'scale; without standardUncertainty a stated default of ± one point is taken.';

export class StrengthDto {
  @IsOneOf(STRENGTH_METHODS, { description: 'Each takes its own inputs.', example: 'mass-balance' })
  method!: StrengthMethod;

  @Optional()
  @IsGravity(
    { withSample: true },
    {
      description: gravityWords('Original'),
      example: { value: 1.065, scale: 'sg-20-20', sampleTemperature: { value: 23, unit: 'Cel' } },
    },
  )
  originalGravity?: SampledGravity;

  @Optional()
  @IsGravity({ withSample: true }, { description: gravityWords('Final'), example: { value: 0.99, scale: 'sg-20-20' } })
  finalGravity?: SampledGravity;

  @Optional()
  @IsOneOf(WASHES, {
    description:
      'What was fermented (mass-balance, gravity-drop-table); sets the model term, sugar, the larger, unless said.',
  })
  wash?: (typeof WASHES)[number];

  @Optional()
  @IsMeasured('density', { description: 'True density (alcohol-density).', example: { value: 964.3, unit: 'kg/m3' } })
  density?: MeasuredQuantity;

  @Optional()
  @IsMeasured('temperature', {
    description: 'At which density or alcoholometer was read.',
    example: { value: 20, unit: 'Cel' },
  })
  temperature?: MeasuredQuantity;

  @Optional()
  @IsMeasured('fraction', { description: 'Of the alcoholometer, made for 20 °C.', example: { value: 41.2, unit: '%' } })
  reading?: MeasuredQuantity;

  @Optional()
  @IsOneOf(BASES, {
    description:
      'Why the density may stand for a strength (alcohol-density, alcoholometer): the sample was distilled, or no solids were added ' +
      'and the residue is stated. Left out, it is taken as free of extract, and the answer says so.',
  })
  basis?: (typeof BASES)[number];

  @Optional()
  @IsGramsPerLitre(5, {
    description: 'With no-solids-added: what is dissolved all the same.',
    example: { value: 0.2, unit: 'g/L' },
  })
  residue?: Quantity;

  @Optional()
  @IsGramsPerLitre(5, { description: 'Standard uncertainty of the residue.', example: { value: 0.1, unit: 'g/L' } })
  residueStandardUncertainty?: Quantity;

  @Optional()
  @IsPercent({ description: 'As the certificate states it, by volume at 20 °C.', example: { value: 5.02, unit: '%' } })
  strength?: Quantity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'As the certificate states it.', example: { value: 0.06, unit: '%' } })
  expandedUncertainty?: Quantity;

  @Optional()
  @IsDecimalNumber({}, { description: 'As the certificate states it, usually 2.', example: 2 })
  coverageFactor?: number;

  @Optional()
  @Nested(() => MonteCarloDto, { description: 'Asks for the propagation of distributions as well (mass-balance).' })
  monteCarlo?: MonteCarloDto;
}

class MonteCarloAnswerDto {
  @ApiProperty({ type: QuantityDto })
  mean!: QuantityDto;

  @ApiProperty({ type: QuantityDto })
  standard!: QuantityDto;

  @ApiProperty({ type: [QuantityDto], minItems: 2, maxItems: 2, description: 'Shortest 95 % coverage interval.' })
  shortest!: QuantityDto[];

  @ApiProperty({
    type: [QuantityDto],
    minItems: 2,
    maxItems: 2,
    description: 'Probabilistically symmetric 95 % interval.',
  })
  symmetric!: QuantityDto[];

  @ApiProperty({ type: 'integer', format: 'int32', minimum: MINIMUM_DRAWS, maximum: MOST_DRAWS })
  draws!: number;

  @ApiProperty({ type: 'integer', format: 'int64', minimum: 0, maximum: 4_294_967_295 })
  seed!: number;

  @ApiProperty({
    type: 'integer',
    format: 'int32',
    minimum: 0,
    maximum: MOST_DRAWS,
    description: 'Draws without an answer.',
  })
  rejected!: number;

  @ApiProperty({ type: 'boolean', description: 'Whether it bears the first-order interval out (JCGM 101, clause 8).' })
  bearsOut!: boolean;
}

class UncertaintyDto {
  @ApiProperty({ type: QuantityDto, description: 'Standard uncertainty.' })
  standard!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'Expanded uncertainty at 95 %.' })
  expanded!: QuantityDto;

  @ApiProperty({ type: 'number', format: 'double', description: 'k.' })
  coverageFactor!: number;

  @ApiPropertyOptional({
    type: 'number',
    format: 'double',
    nullable: true,
    description: 'Effective degrees of freedom; null where nothing limits them.',
  })
  degreesOfFreedom!: number | null;

  @ApiPropertyOptional({ type: MonteCarloAnswerDto })
  monteCarlo?: MonteCarloAnswerDto;
}

class BudgetLineDto {
  @ApiProperty({ type: 'string', maxLength: 120, pattern: '^.*$' })
  name!: string;

  @ApiProperty({ type: 'number', format: 'double' })
  value!: number;

  @ApiPropertyOptional({
    type: 'string',
    maxLength: 20,
    pattern: '^.*$',
    description: 'Of value and standardUncertainty.',
  })
  unit?: string;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0 })
  standardUncertainty!: number;

  @ApiProperty({ type: 'string', enum: ['normal', 'rectangular', 'triangular', 'u-shaped', 'student'] })
  distribution!: Distribution;

  @ApiPropertyOptional({ type: 'number', format: 'double', nullable: true })
  degreesOfFreedom!: number | null;

  @ApiProperty({ type: 'number', format: 'double', description: '% vol per unit of the input.' })
  sensitivity!: number;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'Sensitivity times standard uncertainty, signed, % vol.',
  })
  contribution!: number;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'Part of the combined variance; the shares add to one.',
  })
  share!: number;

  @ApiProperty({ type: 'string', maxLength: 120, pattern: '^.*$', description: 'What shares an origin adds linearly.' })
  origin!: string;
}

class AttenuationDto {
  @ApiPropertyOptional({ type: QuantityDto })
  apparent?: QuantityDto;

  @ApiPropertyOptional({ type: QuantityDto })
  real?: QuantityDto;
}

export class StrengthAnswerDto extends AnswerDto {
  @ApiProperty({ type: QuantityDto, description: 'By volume at 20 °C.' })
  strength!: QuantityDto;

  @ApiProperty({ type: UncertaintyDto })
  uncertainty!: UncertaintyDto;

  @ApiProperty({ type: [BudgetLineDto], maxItems: 100 })
  budget!: BudgetLineDto[];

  @ApiPropertyOptional({ type: 'number', format: 'double', description: 'Original extract, °P.' })
  originalExtract?: number;

  @ApiPropertyOptional({ type: 'number', format: 'double', description: 'Real extract, °P.' })
  realExtract?: number;

  @ApiPropertyOptional({ type: 'number', format: 'double', description: 'Apparent extract, °P.' })
  apparentExtract?: number;

  @ApiPropertyOptional({ type: AttenuationDto })
  attenuation?: AttenuationDto;

  @ApiPropertyOptional({ type: QuantityDto, description: 'Alcohol by mass.' })
  alcoholByMass?: QuantityDto;
}
