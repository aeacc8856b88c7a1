import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { MAXIMUM_CORRELATED_INPUTS } from '../../metrology/correlation.js';
import { MINIMUM_DRAWS } from '../../metrology/monte-carlo.js';
import type { Distribution } from '../../metrology/uncertainty.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsListOf, IsOneOf, IsPlainText, IsWholeNumber } from '../../platform/validation/fields.js';
import { numberRule } from '../../platform/validation/number-rules.js';
import { listRule } from '../../platform/validation/rule.js';
import { CalculationResult } from '../shared/answer.js';
import { DISTRIBUTIONS, MOST_DRAWS, MonteCarloRequest, UncertaintyLine } from '../shared/uncertainty.js';

/** Largest number of inputs; a correlation matrix may have no more. */
const MOST_INPUTS = MAXIMUM_CORRELATED_INPUTS;

class LinearMonteCarloRequest extends MonteCarloRequest {
  @Optional()
  @IsWholeNumber(
    { min: 1, max: 2 },
    {
      description:
        'Significant digits of u in the comparison with the law of propagation (JCGM 101, clause 8); 1 by default. 2 needs many draws.',
      example: 1,
    },
  )
  significantDigits?: 1 | 2;
}

class UncertaintyInput {
  @IsPlainText({ max: 120 }, { description: 'Name in the budget.', example: 'reference mass' })
  name!: string;

  @IsDecimalNumber({}, { description: 'Its estimate.', example: 100 })
  value!: number;

  @Optional()
  @IsPlainText(
    { max: 20 },
    { description: 'Unit of value and standardUncertainty; it is only repeated in the answer.', example: 'g' },
  )
  unit?: string;

  @IsDecimalNumber({ min: 0 }, { description: 'In the unit of the value.', example: 0.05 })
  standardUncertainty!: number;

  @Optional()
  @IsOneOf(DISTRIBUTIONS, {
    description: 'normal by default; only Monte Carlo uses it. student means value + u·t(ν), with u as the scale.',
  })
  distribution?: Distribution;

  @Optional()
  @IsDecimalNumber({ min: 1 }, { description: 'Infinite by default.', example: 9 })
  degreesOfFreedom?: number;

  @Optional()
  @IsPlainText(
    { max: 120 },
    {
      description: 'Inputs of one origin are fully correlated. By default each input has its own origin.',
      example: 'balance-3',
    },
  )
  origin?: string;

  @IsDecimalNumber({}, { description: 'Result per unit of this input (∂f/∂x).', example: 1 })
  sensitivity!: number;
}

export class UncertaintyRequest {
  @NestedList(() => UncertaintyInput, { min: 1, max: MOST_INPUTS })
  inputs!: UncertaintyInput[];

  @Optional()
  @IsDecimalNumber(
    {},
    { description: 'Estimate of the result; the sum of sensitivity times value by default.', example: 100.123 },
  )
  value?: number;

  @Optional()
  @IsListOf(
    listRule(numberRule({ min: -1, max: 1 }), { min: 1, max: MOST_INPUTS }),
    { min: 1, max: MOST_INPUTS },
    {
      description:
        'Correlation coefficients, rows and columns in the order of the inputs; independent by origin by default.',
      example: [
        [1, 0.5],
        [0.5, 1],
      ],
    },
  )
  correlation?: number[][];

  @Optional()
  @IsDecimalNumber({ min: 0.5, max: 0.9999 }, { description: '0.95 by default.', example: 0.95 })
  coverageProbability?: number;

  @Optional()
  @Nested(() => LinearMonteCarloRequest, {
    description: 'Requests the propagation of distributions through the linear model in addition.',
  })
  monteCarlo?: LinearMonteCarloRequest;
}

class LinearMonteCarlo {
  @ApiProperty({ type: 'number', format: 'double' })
  mean!: number;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0 })
  standardUncertainty!: number;

  @ApiProperty({ type: 'array', items: { type: 'number', format: 'double' }, minItems: 2, maxItems: 2 })
  shortest!: number[];

  @ApiProperty({ type: 'array', items: { type: 'number', format: 'double' }, minItems: 2, maxItems: 2 })
  symmetric!: number[];

  @ApiProperty({ type: 'integer', format: 'int32', minimum: MINIMUM_DRAWS, maximum: MOST_DRAWS })
  draws!: number;

  @ApiProperty({ type: 'integer', format: 'int64', minimum: 0, maximum: 4_294_967_295 })
  seed!: number;

  @ApiProperty({
    type: 'boolean',
    description: 'True where the interval agrees with that of the law of propagation (JCGM 101, clause 8).',
  })
  confirmsFirstOrder!: boolean;

  @ApiProperty({
    type: 'number',
    format: 'double',
    minimum: 0,
    description: 'Largest permitted difference of the two intervals at either end (δ of JCGM 101, clause 8).',
  })
  tolerance!: number;

  @ApiProperty({
    type: 'number',
    format: 'double',
    minimum: 0,
    description: 'Largest difference of the two intervals.',
  })
  difference!: number;
}

export class UncertaintyResult extends CalculationResult {
  @ApiProperty({ type: 'number', format: 'double' })
  value!: number;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0, description: 'Combined standard uncertainty.' })
  standardUncertainty!: number;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0, description: 'At the coverage probability.' })
  expandedUncertainty!: number;

  @ApiProperty({ type: 'number', format: 'double', description: 'k.' })
  coverageFactor!: number;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0.5, maximum: 0.9999 })
  coverageProbability!: number;

  @ApiPropertyOptional({
    type: 'number',
    format: 'double',
    nullable: true,
    description: 'Effective degrees of freedom; null for infinite.',
  })
  degreesOfFreedom!: number | null;

  @ApiProperty({ type: [UncertaintyLine], maxItems: MOST_INPUTS })
  budget!: UncertaintyLine[];

  @ApiPropertyOptional({ type: LinearMonteCarlo })
  monteCarlo?: LinearMonteCarlo;
}
