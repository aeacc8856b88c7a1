import { ALSO_IN_SCHEMA } from '../../platform/units/display-units.js';
import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';

/** A value with its unit, in an answer. */
export class Quantity {
  @ApiProperty({ type: 'number', format: 'double', example: 12.5 })
  value!: number;

  @ApiProperty({ type: 'string', maxLength: 20, pattern: '^[!-~]+$', description: 'UCUM code.', example: 'L' })
  unit!: string;

  @ApiPropertyOptional(ALSO_IN_SCHEMA)
  alsoIn?: { value: number; unit: string };
}

/** Significant digits of the figures in an answer; further digits are only rounding of binary arithmetic. */
const SIGNIFICANT_DIGITS = 12;

export const figure = (value: number): number => Number(value.toPrecision(SIGNIFICANT_DIGITS));

export const quantityOf = (value: number, unit: string): Quantity => ({ value: figure(value), unit });

class CalculationMethod {
  @ApiProperty({ type: 'string', maxLength: 60, pattern: '^[a-z0-9-]+$', example: 'mass-balance' })
  id!: string;

  @ApiProperty({ type: 'string', maxLength: 20, pattern: '^[0-9.]+$', example: '1.0.0' })
  version!: string;

  @ApiProperty({
    type: 'string',
    maxLength: 300,
    pattern: '^.*$',
    description: 'Standards and publications that the computation follows.',
  })
  source!: string;
}

/** Method and warnings, common to every answer. */
export class CalculationResult {
  @ApiProperty({ type: CalculationMethod })
  method!: CalculationMethod;

  @ApiProperty({
    type: 'array',
    items: { type: 'string', maxLength: 1000, pattern: '^.*$' },
    maxItems: 50,
    description: 'Assumptions, limits, and cautions where someone can be hurt.',
  })
  warnings!: string[];
}

/** An interval; null where a side has no limit. */
export class Interval {
  @ApiPropertyOptional({ type: Quantity, nullable: true })
  lower!: Quantity | null;

  @ApiPropertyOptional({ type: Quantity, nullable: true })
  upper!: Quantity | null;
}
