import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { GravityScale } from '../../alcoholometry/liquids/gravity-scales.js';
import { MINIMUM_DRAWS } from '../../metrology/monte-carlo.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsGravity, IsOneOf, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity } from '../shared/answer.js';
import type { MeasuredQuantity } from '../shared/inputs.js';
import { IsGramsPerLitre, IsMeasured, IsPercent } from '../shared/inputs.js';
import { MOST_DRAWS, MonteCarloRequest, UncertaintyLine } from '../shared/uncertainty.js';

const STRENGTH_METHODS = [
  'mass-balance',
  'gravity-drop-table',
  'alcohol-density',
  'alcoholometer',
  'certificate',
] as const;
export type StrengthMethod = (typeof STRENGTH_METHODS)[number];

const WASHES = ['malt', 'sugar', 'dextrose', 'sucrose'] as const;
export const BASES = ['distilled', 'no-solids-added'] as const;

export interface SampledGravity {
  readonly value: number;
  readonly scale: GravityScale;
  readonly sampleTemperature?: Quantity;
  readonly standardUncertainty?: number;
}

const gravityDescription = (which: string): string =>
  `${which} gravity (mass-balance, gravity-drop-table). Without sampleTemperature it is taken as at the temperature of the ` +
  'scale; without standardUncertainty a stated default of ± one point is used.';

export class StrengthRequest {
  @IsOneOf(STRENGTH_METHODS, { description: 'Each takes its own inputs.', example: 'mass-balance' })
  method!: StrengthMethod;

  @Optional()
  @IsGravity(
    { withSample: true },
    {
      description: gravityDescription('Original'),
      example: { value: 1.065, scale: 'sg-20-20', sampleTemperature: { value: 23, unit: 'Cel' } },
    },
  )
  originalGravity?: SampledGravity;

  @Optional()
  @IsGravity(
    { withSample: true },
    { description: gravityDescription('Final'), example: { value: 0.99, scale: 'sg-20-20' } },
  )
  finalGravity?: SampledGravity;

  @Optional()
  @IsOneOf(WASHES, {
    description:
      'What was fermented (mass-balance, gravity-drop-table); determines the model term; sugar, the larger one, by default. Dextrose reads low on the sucrose scale and gives 1.4 % more than malt at the same gravities, sucrose takes up water and gives 4 to 5 % more. Name the sugar where it is known; sugar is computed as malt is.',
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
      'Reason why the strength follows from the density (alcohol-density, alcoholometer): the sample was distilled, or no solids were added ' +
      'and the residue is stated. If omitted, the liquid is assumed to be free of extract, with a warning.',
  })
  basis?: (typeof BASES)[number];

  @Optional()
  @IsGramsPerLitre(5, {
    description: 'With no-solids-added: solids that are dissolved nevertheless.',
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
  @Nested(() => MonteCarloRequest, {
    description:
      'Requests the propagation of distributions in addition: through the whole model of the mass balance, through the linear budget of the others; not for a certificate.',
  })
  monteCarlo?: MonteCarloRequest;
}

class StrengthMonteCarlo {
  @ApiProperty({ type: Quantity })
  mean!: Quantity;

  @ApiProperty({ type: Quantity })
  standardUncertainty!: Quantity;

  @ApiProperty({ type: [Quantity], minItems: 2, maxItems: 2, description: 'Shortest 95 % coverage interval.' })
  shortest!: Quantity[];

  @ApiProperty({
    type: [Quantity],
    minItems: 2,
    maxItems: 2,
    description: 'Probabilistically symmetric 95 % interval.',
  })
  symmetric!: Quantity[];

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

  @ApiProperty({
    type: 'boolean',
    description: 'True where the interval agrees with that of the law of propagation (JCGM 101, clause 8).',
  })
  confirmsFirstOrder!: boolean;
}

class RectangularShape {
  @ApiProperty({ type: 'string', description: 'The rectangular input that makes at least half of the variance.' })
  input!: string;

  @ApiProperty({ type: 'number', format: 'double', description: 'k at 95 % for that shape, 1.65 to 1.96.' })
  coverageFactor!: number;

  @ApiProperty({ type: Quantity, description: 'Expanded uncertainty at 95 % by that factor.' })
  expanded!: Quantity;
}

class Uncertainty {
  @ApiProperty({ type: Quantity, description: 'Standard uncertainty.' })
  standard!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Expanded uncertainty at 95 %.' })
  expanded!: Quantity;

  @ApiProperty({ type: 'number', format: 'double', description: 'k.' })
  coverageFactor!: number;

  @ApiPropertyOptional({
    type: 'number',
    format: 'double',
    nullable: true,
    description: 'Effective degrees of freedom; null for infinite.',
  })
  degreesOfFreedom!: number | null;

  @ApiPropertyOptional({
    type: RectangularShape,
    description: 'Present where one rectangular input dominates, so that the normal factor covers more than 95 %.',
  })
  rectangular?: RectangularShape;

  @ApiPropertyOptional({ type: StrengthMonteCarlo })
  monteCarlo?: StrengthMonteCarlo;
}

class Attenuation {
  @ApiPropertyOptional({ type: Quantity })
  apparent?: Quantity;

  @ApiPropertyOptional({ type: Quantity })
  real?: Quantity;
}

export class StrengthResult extends CalculationResult {
  @ApiProperty({ type: Quantity, description: 'By volume at 20 °C.' })
  strength!: Quantity;

  @ApiProperty({ type: Uncertainty })
  uncertainty!: Uncertainty;

  @ApiProperty({ type: [UncertaintyLine], maxItems: 100 })
  budget!: UncertaintyLine[];

  @ApiPropertyOptional({ type: 'number', format: 'double', description: 'Original extract, °P.' })
  originalExtract?: number;

  @ApiPropertyOptional({ type: 'number', format: 'double', description: 'Real extract, °P.' })
  realExtract?: number;

  @ApiPropertyOptional({ type: 'number', format: 'double', description: 'Apparent extract, °P.' })
  apparentExtract?: number;

  @ApiPropertyOptional({ type: Attenuation })
  attenuation?: Attenuation;

  @ApiPropertyOptional({ type: Quantity, description: 'Alcohol by mass.' })
  alcoholByMass?: Quantity;
}
