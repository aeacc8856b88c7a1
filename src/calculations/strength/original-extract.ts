import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { Gravity } from '../../alcoholometry/liquids/gravity-scales.js';
import { toExtract } from '../../alcoholometry/liquids/gravity-scales.js';
import type { Addition } from '../../alcoholometry/strength/additions.js';
import { effectiveOriginalExtract } from '../../alcoholometry/strength/additions.js';
import type { Measured } from '../../alcoholometry/strength/finding.js';
import type { Property } from '../../metrology/units.js';
import { NestedList, Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsGravity } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, figure } from '../shared/answer.js';
import type { MeasuredQuantity } from '../shared/inputs.js';
import { IsMeasured, IsPercent, baseDifferenceOf, baseOf } from '../shared/inputs.js';
import { pointingAt } from '../shared/refusal.js';
import { UncertaintyLine, toUncertaintyLine } from '../shared/uncertainty.js';

const MOST_ADDITIONS = 100;

class RecordedAddition {
  @IsMeasured('mass', {
    description: 'In the vessel just before; its uncertainty is 1 % of it by default.',
    example: { value: 210, unit: 'kg', standardUncertainty: 1 },
  })
  vesselMass!: MeasuredQuantity;

  @Optional()
  @IsPercent({ description: 'Alcohol by mass formed by then, 0 to 20 %.', example: { value: 3.5, unit: '%' } })
  alcoholByMass?: Quantity;

  @IsMeasured('mass', { description: 'Of what was added.', example: { value: 8, unit: 'kg' } })
  addedMass!: MeasuredQuantity;

  @IsMeasured('fraction', {
    description: 'Its extract by mass on the sucrose scale: 0 % water, 100 % dry sugar.',
    example: { value: 100, unit: '%' },
  })
  addedExtract!: MeasuredQuantity;
}

export class OriginalExtractRequest {
  @IsGravity(
    {},
    {
      description: 'Before fermentation, at the temperature of its scale.',
      example: { value: 1.06, scale: 'sg-20-20' },
    },
  )
  originalGravity!: Gravity;

  @Optional()
  @IsDecimalNumber(
    { min: 0, max: 60 },
    { description: 'Standard uncertainty of it, °P; exact by default.', example: 0.06 },
  )
  standardUncertainty?: number;

  @NestedList(() => RecordedAddition, { min: 1, max: MOST_ADDITIONS }, { description: 'In the order of time.' })
  additions!: RecordedAddition[];
}

export class OriginalExtractResult extends CalculationResult {
  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'Extract of one wort that contains everything that was added, °P.',
  })
  extract!: number;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0, description: '°P.' })
  standardUncertainty!: number;

  @ApiProperty({ type: 'number', format: 'double', minimum: 0, description: 'At 95 %, °P.' })
  expandedUncertainty!: number;

  @ApiProperty({ type: 'number', format: 'double', description: 'k.' })
  coverageFactor!: number;

  @ApiPropertyOptional({ type: 'number', format: 'double', nullable: true })
  degreesOfFreedom!: number | null;

  @ApiProperty({ type: [UncertaintyLine], maxItems: 1 + 3 * MOST_ADDITIONS })
  budget!: UncertaintyLine[];
}

const METHOD = {
  id: 'effective-original-extract',
  version: '1.0.0',
  source: 'mass balance; Balling (Nielsen et al. 2007)',
};

const WARNINGS = [
  'Use it in the mass balance as the original gravity on the plato scale. It includes recorded additions only.',
];

function measured(property: Property, name: string, { standardUncertainty, ...quantity }: MeasuredQuantity): Measured {
  const value = baseOf(property, quantity);
  if (standardUncertainty === undefined) return { value };
  const inBaseUnit = baseDifferenceOf(property, standardUncertainty, quantity.unit);
  return { value, components: [{ name, standardUncertainty: inBaseUnit, origin: `given/${name}` }] };
}

const additionOf = (dto: RecordedAddition, index: number): Addition => ({
  vesselMassKg: measured('mass', `vessel mass ${index + 1}`, dto.vesselMass),
  alcoholByMassPercent: baseOf('fraction', dto.alcoholByMass),
  addedMassKg: measured('mass', `added mass ${index + 1}`, dto.addedMass),
  addedExtractPercent: measured('fraction', `added extract ${index + 1}`, dto.addedExtract),
});

/** Effective original extract after recorded additions. */
export function originalExtract(input: OriginalExtractRequest): OriginalExtractResult {
  const { extractPlato } = pointingAt('originalGravity', () => toExtract(input.originalGravity));
  const { standardUncertainty } = input;
  const origin = 'given/original extract';
  const original: Measured = {
    value: extractPlato,
    ...(standardUncertainty === undefined
      ? {}
      : { components: [{ name: 'original extract', standardUncertainty, origin, unit: '°P' }] }),
  };
  const found = effectiveOriginalExtract(original, input.additions.map(additionOf));
  return {
    extract: figure(found.value),
    standardUncertainty: figure(found.standard),
    expandedUncertainty: figure(found.expanded),
    coverageFactor: figure(found.coverageFactor),
    degreesOfFreedom: found.degreesOfFreedom === null ? null : figure(found.degreesOfFreedom),
    budget: found.budget.map(toUncertaintyLine),
    method: METHOD,
    warnings: WARNINGS,
  };
}
