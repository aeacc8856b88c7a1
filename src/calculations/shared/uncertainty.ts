import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { MINIMUM_DRAWS } from '../../metrology/monte-carlo.js';
import type { BudgetLine, Distribution } from '../../metrology/uncertainty.js';
import { Optional } from '../../platform/validation/field.js';
import { IsWholeNumber } from '../../platform/validation/fields.js';
import { figure } from './answer.js';

export const DISTRIBUTIONS = ['normal', 'rectangular', 'triangular', 'u-shaped', 'student'] as const;

/** Largest number of draws in one request; more would delay the requests of others. */
export const MOST_DRAWS = 200_000;

export class MonteCarloRequest {
  @Optional()
  @IsWholeNumber({ min: MINIMUM_DRAWS, max: MOST_DRAWS }, { description: '100,000 by default.', example: 20_000 })
  draws?: number;

  @IsWholeNumber({ min: 0, max: 4_294_967_295 }, { description: 'The same seed gives the same answer.', example: 1 })
  seed!: number;
}

/** One input in an uncertainty budget. */
export class UncertaintyLine {
  @ApiProperty({ type: 'string', maxLength: 120, pattern: '^.*$' })
  name!: string;

  @ApiProperty({ type: 'number', format: 'double' })
  value!: number;

  @ApiPropertyOptional({
    type: 'string',
    maxLength: 20,
    pattern: '^.*$',
    description: 'Unit of `value` and `standardUncertainty`.',
  })
  unit?: string;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0 })
  standardUncertainty!: number;

  @ApiProperty({ type: 'string', enum: [...DISTRIBUTIONS] })
  distribution!: Distribution;

  @ApiPropertyOptional({
    type: 'number',
    format: 'double',
    nullable: true,
    description: 'Degrees of freedom; null for infinite.',
  })
  degreesOfFreedom!: number | null;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'Change of the result per unit of this input (∂f/∂x). A strength is in % vol.',
  })
  sensitivity!: number;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'Sensitivity times standard uncertainty, signed, in the unit of the result.',
  })
  contribution!: number;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description:
      'Share of the combined variance; the shares add to one. A share is negative where a correlation reduces the variance.',
  })
  share!: number;

  @ApiProperty({
    type: 'string',
    maxLength: 120,
    pattern: '^.*$',
    description: 'Source of the error. Contributions of one origin add linearly.',
  })
  origin!: string;
}

/** Converts a line of a budget to its schema; figures have twelve significant digits. */
export const toUncertaintyLine = (line: BudgetLine): UncertaintyLine => ({
  name: line.name,
  value: figure(line.value),
  ...(line.unit === undefined ? {} : { unit: line.unit }),
  standardUncertainty: figure(line.standardUncertainty),
  distribution: line.distribution,
  degreesOfFreedom: line.degreesOfFreedom === null ? null : figure(line.degreesOfFreedom),
  sensitivity: figure(line.sensitivity),
  contribution: figure(line.contribution),
  share: figure(line.share),
  origin: line.origin,
});
