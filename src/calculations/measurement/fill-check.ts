import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import type { FillRule } from '../../metrology/fill-check.js';
import { MAXIMUM_FILLS, checkFills } from '../../metrology/fill-check.js';
import { toBase } from '../../metrology/units.js';
import { Field } from '../../platform/validation/field.js';
import { IsQuantityOf } from '../../platform/validation/fields.js';
import { quantityListRule } from '../../platform/validation/quantity-rules.js';
import { CalculationResult, Quantity, figure, quantityOf } from '../shared/answer.js';
import { baseOf } from '../shared/inputs.js';

interface Fills {
  readonly values: readonly number[];
  readonly unit: string;
}

export class FillCheckRequest {
  @IsQuantityOf('volume', {}, { description: 'On the label, 5 mL to 50 L.', example: { value: 330, unit: 'mL' } })
  nominalVolume!: Quantity;

  @Field(quantityListRule('volume', { min: 2, max: MAXIMUM_FILLS }), {
    description: 'Volumes at 20 °C of the containers of a sample, 2 to 2,000.',
    example: { values: [331.2, 329.8, 330.4], unit: 'mL' },
  })
  fills!: Fills;
}

class FillRuleCheck {
  @ApiProperty({ type: 'string', enum: ['average', 'tolerable-negative-error', 'twice-tolerable-negative-error'] })
  rule!: FillRule['rule'];

  @ApiProperty({ type: 'boolean' })
  passes!: boolean;

  @ApiPropertyOptional({ type: Quantity, description: 'Average rule: mean of the sample.' })
  mean?: Quantity;

  @ApiPropertyOptional({ type: Quantity, description: 'Average rule: least mean that passes.' })
  leastMean?: Quantity;

  @ApiPropertyOptional({
    type: 'integer',
    format: 'int32',
    minimum: 0,
    maximum: MAXIMUM_FILLS,
    description: 'The other two rules: containers that are short by more than the error allows.',
  })
  shortContainers?: number;

  @ApiPropertyOptional({
    type: 'integer',
    format: 'int32',
    minimum: 0,
    maximum: MAXIMUM_FILLS,
    description: 'The other two rules: most such containers that pass.',
  })
  mostShortContainers?: number;
}

export class FillCheckResult extends CalculationResult {
  @ApiProperty({ type: 'string', enum: ['passes', 'fails'] })
  verdict!: 'passes' | 'fails';

  @ApiProperty({ type: 'integer', format: 'int32', minimum: 2, maximum: MAXIMUM_FILLS })
  count!: number;

  @ApiProperty({ type: Quantity })
  mean!: Quantity;

  @ApiProperty({ type: Quantity })
  standardDeviation!: Quantity;

  @ApiProperty({ type: Quantity, description: 'From the scatter of the fills only.' })
  standardUncertaintyOfMean!: Quantity;

  @ApiProperty({
    type: 'boolean',
    description: 'True where the mean is at least the nominal volume; stricter than the test of a sample.',
  })
  meanReachesNominal!: boolean;

  @ApiProperty({ type: Quantity })
  tolerableNegativeError!: Quantity;

  @ApiProperty({ type: [FillRuleCheck], minItems: 3, maxItems: 3 })
  rules!: FillRuleCheck[];
}

const METHOD = {
  id: 'fill-check',
  version: '1.0.0',
  source: 'Directive 76/211/EEC; OIML R 87',
};

const WARNINGS = [
  'A small sample proves little. The measurement uncertainty of the single fills is not subtracted.',
  'The legal check is the officer’s: local law and licensed practice decide what may be sold.',
];

const NAMES: Readonly<Record<string, string>> = { nominal: 'nominalVolume' };

/** The pure function calls a single fill `fills/3`. */
export const fillCheckName = (name: string): string => NAMES[name] ?? name.replace(/^fills\//, 'fills.values.');

const mL = (value: number): Quantity => quantityOf(value, 'mL');

const toRuleCheck = ({ rule, passes, found, limit }: FillRule): FillRuleCheck => ({
  rule,
  passes,
  ...(rule === 'average'
    ? { mean: mL(found), leastMean: mL(limit) }
    : { shortContainers: found, mostShortContainers: limit }),
});

export function fillCheck(input: FillCheckRequest): FillCheckResult {
  const { values, unit } = input.fills;
  const toML = (value: number): number => figure(1000 * toBase('volume', { value, unit }));
  const found = checkFills(figure(1000 * baseOf('volume', input.nominalVolume)), values.map(toML));
  return {
    verdict: found.verdict,
    count: found.count,
    mean: mL(found.meanML),
    standardDeviation: mL(found.standardDeviationML),
    standardUncertaintyOfMean: mL(found.standardUncertaintyOfMeanML),
    meanReachesNominal: found.meanReachesNominal,
    tolerableNegativeError: mL(found.tolerableNegativeErrorML),
    rules: found.rules.map(toRuleCheck),
    method: METHOD,
    warnings: WARNINGS,
  };
}
