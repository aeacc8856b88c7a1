import { ApiProperty } from '@nestjs/swagger';
import type { FillRule } from '../../metrology/fill-check.js';
import { MAXIMUM_FILLS, checkFills } from '../../metrology/fill-check.js';
import type { Quantity } from '../../metrology/units.js';
import { toBase } from '../../metrology/units.js';
import { Field } from '../../platform/validation/field.js';
import { IsQuantityOf } from '../../platform/validation/fields.js';
import { quantityListRule } from '../../platform/validation/quantity-rules.js';
import { AnswerDto, QuantityDto, figure, quantityOf } from '../shared/answer.js';
import { baseOf } from '../shared/inputs.js';

interface Fills {
  readonly values: readonly number[];
  readonly unit: string;
}

export class FillCheckDto {
  @IsQuantityOf('volume', {}, { description: 'On the label, 5 mL to 50 L.', example: { value: 330, unit: 'mL' } })
  nominalVolume!: Quantity;

  @Field(quantityListRule('volume', { min: 2, max: MAXIMUM_FILLS }), {
    description: 'Volumes at 20 °C of the containers of a sample, 2 to 2,000.',
    example: { values: [331.2, 329.8, 330.4], unit: 'mL' },
  })
  fills!: Fills;
}

class FillRuleDto {
  @ApiProperty({ type: 'string', enum: ['average', 'tolerable-negative-error', 'twice-tolerable-negative-error'] })
  rule!: FillRule['rule'];

  @ApiProperty({ type: 'boolean' })
  passes!: boolean;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'The mean in mL, or a count of containers.',
  })
  found!: number;

  @ApiProperty({ type: 'number', format: 'double', description: 'What it is held against.' })
  limit!: number;
}

export class FillCheckAnswerDto extends AnswerDto {
  @ApiProperty({ type: 'string', enum: ['passes', 'fails'] })
  verdict!: 'passes' | 'fails';

  @ApiProperty({ type: 'integer', format: 'int32', minimum: 2, maximum: MAXIMUM_FILLS })
  count!: number;

  @ApiProperty({ type: QuantityDto })
  mean!: QuantityDto;

  @ApiProperty({ type: QuantityDto })
  standardDeviation!: QuantityDto;

  @ApiProperty({ type: QuantityDto, description: 'From the scatter alone.' })
  standardUncertaintyOfMean!: QuantityDto;

  @ApiProperty({ type: 'boolean', description: 'What a packer aims at; stricter than the test of a sample.' })
  meanReachesNominal!: boolean;

  @ApiProperty({ type: QuantityDto })
  tolerableNegativeError!: QuantityDto;

  @ApiProperty({ type: [FillRuleDto], minItems: 3, maxItems: 3 })
  rules!: FillRuleDto[];
}

const METHOD = {
  id: 'fill-check',
  version: '1.0.0',
  source: 'Directive 76/211/EEC; OIML R 87',
};

const WARNINGS = [
  'A small sample shows little, and the measuring uncertainty of the single fills is not taken off.',
  'The legal check is the officer’s: local law and licensed practice decide what may be sold.',
];

const NAMES: Readonly<Record<string, string>> = { nominal: 'nominalVolume' };

/** The pure function calls a single fill `fills/3`. */
export const fillCheckName = (name: string): string => NAMES[name] ?? name.replace(/^fills\//, 'fills.values.');

const mL = (value: number): QuantityDto => quantityOf(value, 'mL');

export function fillCheck(input: FillCheckDto): FillCheckAnswerDto {
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
    rules: found.rules.map(({ rule, passes, found: seen, limit }) => ({
      rule,
      passes,
      found: figure(seen),
      limit: figure(limit),
    })),
    method: METHOD,
    warnings: WARNINGS,
  };
}
