import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { ConformityDecision, ConformityInput, Limits } from '../../metrology/conformity.js';
import { assessConformity } from '../../metrology/conformity.js';
import type { Property, Quantity } from '../../metrology/units.js';
import { BASE_UNITS, unitsOf } from '../../metrology/units.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { Field, Optional } from '../../platform/validation/field.js';
import type { FieldOptions } from '../../platform/validation/field.js';
import { IsDecimalNumber } from '../../platform/validation/fields.js';
import { numberRule } from '../../platform/validation/number-rules.js';
import type { Rule } from '../../platform/validation/rule.js';
import { finding, objectRule } from '../../platform/validation/rule.js';
import { CalculationResult, Interval, figure, quantityOf } from '../shared/answer.js';

const ALL_UNITS = (Object.keys(BASE_UNITS) as Property[]).flatMap((property) => unitsOf(property));

const unitRule: Rule = {
  schema: { type: 'string', enum: ALL_UNITS },
  check: (unit) =>
    typeof unit === 'string' && ALL_UNITS.includes(unit)
      ? []
      : [
          finding('unknown-unit', `The unit has to be one of ${ALL_UNITS.join(', ')}.`, {
            code: 'unit-unknown',
            allowed: ALL_UNITS,
          }),
        ],
};

const IsAnyQuantity = (options: FieldOptions): PropertyDecorator =>
  Field(objectRule({ value: numberRule(), unit: unitRule }), options);

export class ConformityRequest {
  @IsAnyQuantity({ description: 'Measured value.', example: { value: 5.12, unit: '%' } })
  measured!: Quantity;

  @IsAnyQuantity({
    description: 'Standard uncertainty of the measured value, in the same unit.',
    example: { value: 0.09, unit: '%' },
  })
  standardUncertainty!: Quantity;

  @IsAnyQuantity({
    description: 'Value on the label or in the documents, in the same unit.',
    example: { value: 5, unit: '%' },
  })
  declared!: Quantity;

  @Optional()
  @IsAnyQuantity({ description: 'Allowed to either side, in the same unit.', example: { value: 0.5, unit: '%' } })
  tolerance?: Quantity;

  @Optional()
  @IsAnyQuantity({
    description:
      'In place of tolerance: allowed below the declared value. Without it there is no limit below, as for "not above 0.5 % vol".',
    example: { value: 0.2, unit: '%' },
  })
  toleranceBelow?: Quantity;

  @Optional()
  @IsAnyQuantity({
    description:
      'In place of tolerance: allowed above the declared value. Without it there is no limit above, as for "at least 37.5 % vol".',
    example: { value: 0.3, unit: '%' },
  })
  toleranceAbove?: Quantity;

  @Optional()
  @IsDecimalNumber(
    {},
    {
      description: 'Largest accepted probability of a wrong decision, 0.0001 to 0.5; 0.05 by default.',
      example: 0.05,
    },
  )
  allowedRisk?: number;

  @Optional()
  @IsDecimalNumber(
    {},
    { description: 'Effective degrees of freedom of the uncertainty; infinite by default.', example: 12 },
  )
  degreesOfFreedom?: number;
}

export class ConformityResult extends CalculationResult {
  @ApiProperty({ type: 'string', enum: ['conforms', 'does-not-conform', 'cannot-tell'] })
  decision!: ConformityDecision;

  @ApiProperty({
    type: 'number',
    format: 'double',
    minimum: 0,
    maximum: 1,
    description: 'Probability that the true value lies within the tolerance.',
  })
  probability!: number;

  @ApiPropertyOptional({
    type: Interval,
    nullable: true,
    description: 'Measured values that would be accepted; null where the uncertainty is too large for any.',
  })
  acceptance!: Interval | null;
}

const METHOD = { id: 'conformity-guard-band', version: '1.0.0', source: 'JCGM 106:2012, clauses 7 and 8.3' };

const IN_ONE_UNIT = ['standardUncertainty', 'declared', 'tolerance', 'toleranceBelow', 'toleranceAbove'] as const;

function requireOneUnit(input: ConformityRequest): string {
  const { unit } = input.measured;
  const others = IN_ONE_UNIT.filter((name) => (input[name]?.unit ?? unit) !== unit);
  if (others.length > 0) {
    const detail = `All of them are given in one unit, here ${unit}.`;
    throw new ProblemException('unit-unknown', detail, {
      errors: others.map((name) => ({ pointer: `/${name}/unit`, rule: 'unit-differs', detail, allowed: [unit] })),
    });
  }
  return unit;
}

const intervalOf = ({ lower, upper }: Limits, unit: string): Interval => ({
  lower: lower === null ? null : quantityOf(lower, unit),
  upper: upper === null ? null : quantityOf(upper, unit),
});

/** @throws ProblemException where neither or both ways of giving the tolerance are used */
function toleranceOf({ tolerance, toleranceBelow, toleranceAbove }: ConformityRequest): ConformityInput['tolerance'] {
  const isSided = toleranceBelow !== undefined || toleranceAbove !== undefined;
  if (tolerance === undefined ? !isSided : isSided) {
    const detail = 'Give either tolerance, or toleranceBelow, toleranceAbove or both of them.';
    throw new ProblemException('validation-failed', detail, {
      errors: [{ pointer: '/tolerance', rule: 'exactly-one', detail }],
    });
  }
  return tolerance?.value ?? { below: toleranceBelow?.value, above: toleranceAbove?.value };
}

export function conformity(input: ConformityRequest): ConformityResult {
  const unit = requireOneUnit(input);
  const { decision, probability, acceptance } = assessConformity({
    measured: input.measured.value,
    standardUncertainty: input.standardUncertainty.value,
    declared: input.declared.value,
    tolerance: toleranceOf(input),
    allowedRisk: input.allowedRisk,
    degreesOfFreedom: input.degreesOfFreedom,
  });
  return {
    decision,
    probability: figure(probability),
    acceptance: acceptance === null ? null : intervalOf(acceptance, unit),
    method: METHOD,
    warnings: ['The tolerance and the accepted risk are yours; local law and licensed practice decide what conforms.'],
  };
}
