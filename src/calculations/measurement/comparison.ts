import { ApiProperty } from '@nestjs/swagger';
import { compareFindings } from '../../alcoholometry/strength/compare.js';
import type { StrengthFinding } from '../../alcoholometry/strength/finding.js';
import type { InputQuantity } from '../../metrology/uncertainty.js';
import { propagate } from '../../metrology/uncertainty.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsPlainText, IsQuantityOf } from '../../platform/validation/fields.js';
import { CalculationResult, Quantity, figure, quantityOf } from '../shared/answer.js';
import { IsPercent, baseOf } from '../shared/inputs.js';
import { given, requireExactlyOne } from '../shared/refusal.js';

const MOST_COMPONENTS = 100;

class ComparedComponent {
  @IsPlainText(
    { max: 120 },
    {
      description: 'An origin with the same name in both findings is common to both.',
      example: 'hydrometer-7/1060-1080',
    },
  )
  origin!: string;

  @IsDecimalNumber({ min: -100, max: 100 }, { description: 'Signed contribution, % vol.', example: 0.08 })
  contribution!: number;
}

class ComparedFinding {
  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Method, for the statement.', example: 'mass-balance' })
  method?: string;

  @IsPercent({ description: 'By volume at 20 °C.', example: { value: 5.1, unit: '%' } })
  strength!: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100 },
    { description: 'Where it has no origin in common with the other.', example: { value: 0.06, unit: '%' } },
  )
  standardUncertainty?: Quantity;

  @Optional()
  @NestedList(
    () => ComparedComponent,
    { min: 1, max: MOST_COMPONENTS },
    { description: 'In place of standardUncertainty: the contributions of its budget by origin.' },
  )
  components?: ComparedComponent[];
}

export class ComparisonRequest {
  @Nested(() => ComparedFinding)
  first!: ComparedFinding;

  @Nested(() => ComparedFinding)
  second!: ComparedFinding;
}

export class ComparisonResult extends CalculationResult {
  @ApiProperty({ type: Quantity, description: 'First minus second.' })
  difference!: Quantity;

  @ApiProperty({ type: Quantity, description: 'Of the difference, k = 2; contributions of common origins cancel.' })
  expandedUncertainty!: Quantity;

  @ApiProperty({
    type: 'number',
    format: 'double',
    description: 'E_n: difference divided by its expanded uncertainty.',
  })
  normalisedError!: number;

  @ApiProperty({ type: 'boolean', description: 'True where E_n is at most one.' })
  agree!: boolean;

  @ApiProperty({ type: 'string', maxLength: 600, pattern: '^.*$' })
  statement!: string;
}

const METHOD = { id: 'normalised-error', version: '1.0.0', source: 'ISO/IEC 17043 (E_n); JCGM 100, 5.2' };

const WARNINGS = ['Both findings have to be of one composition.'];

const NAMES: Readonly<Record<string, string>> = { findings: 'second' };

export const comparisonName = (name: string): string => NAMES[name] ?? name;

function findingOf(which: 'first' | 'second', dto: ComparedFinding): StrengthFinding {
  requireExactlyOne(dto, ['standardUncertainty', 'components'], [which]);
  const value = baseOf('fraction', dto.strength);
  const own = { origin: `${which}/own`, contribution: dto.standardUncertainty?.value ?? 0 };
  const parts = dto.components ?? [own];
  const inputs = parts.map(({ origin, contribution }): InputQuantity => ({
    name: origin,
    value,
    standardUncertainty: Math.abs(contribution),
    origin,
    unit: '%',
  }));
  const signs = parts.map(({ contribution }) => (contribution < 0 ? -1 : 1));
  return {
    strengthPercent: propagate(value, inputs, signs),
    method: { ...METHOD, id: dto.method ?? which },
    warnings: [],
  };
}

export function comparison(input: ComparisonRequest): ComparisonResult {
  const found = compareFindings(findingOf('first', given(input.first)), findingOf('second', given(input.second)));
  return {
    difference: quantityOf(found.differencePercent, '%'),
    expandedUncertainty: quantityOf(found.expandedUncertainty, '%'),
    normalisedError: figure(found.normalisedError),
    agree: found.agree,
    statement: found.statement,
    method: METHOD,
    warnings: WARNINGS,
  };
}
