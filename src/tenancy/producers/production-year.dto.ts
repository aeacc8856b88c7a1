import type { Quantity } from '../../metrology/units.js';
import { NestedList, Optional } from '../../platform/validation/field.js';
import { IsListOf, IsOneOf, IsPlainText, IsQuantityOf, IsWholeNumber } from '../../platform/validation/fields.js';
import { oneOfRule, textRule } from '../../platform/validation/text-rules.js';

export const PRODUCTION_PARTS = ['own', 'licensed', 'group'] as const;
export type ProductionPartName = (typeof PRODUCTION_PARTS)[number];

/** Most of a quantity of production, L: what the books hold. */
const MOST_L = 1e9;

/** A year’s production of another member of the group, as the producer states it. */
export class GroupProduction {
  @IsPlainText({ max: 120 }, { example: 'Sample Cider Ltd (invented)' })
  member: string;

  @IsWholeNumber({ min: 1900, max: 2199 }, { description: 'The production year, by the year in which it begins.' })
  year: number;

  @IsQuantityOf(
    'volume',
    { min: 0, max: MOST_L },
    { description: 'Pure alcohol produced in that year.', example: { value: 120, unit: 'hL' } },
  )
  pureAlcohol: Quantity;

  @Optional()
  @IsQuantityOf('volume', { min: 0, max: MOST_L }, { description: 'Volume of the drinks, for a threshold by volume.' })
  volume?: Quantity;

  @IsPlainText({ max: 200 }, { description: 'Document that the figure is taken from.', example: 'Return 2025, p. 1' })
  document: string;
}

/** A quantity of yearly production at which something changes for the producer. */
export class ProductionThreshold {
  @IsPlainText({ max: 120 }, { example: 'Small producer' })
  name: string;

  @IsOneOf(['pure-alcohol', 'volume'], { description: 'Measure that the limit is of.' })
  measure: 'pure-alcohol' | 'volume';

  @IsQuantityOf('volume', { min: 0, max: MOST_L }, { example: { value: 4500, unit: 'hL' } })
  limit: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 3 },
    { description: 'Share of the limit from which it is announced; 80 % if left out.' },
  )
  alertAt?: Quantity;

  @Optional()
  @IsListOf(
    oneOfRule(PRODUCTION_PARTS),
    { min: 1, max: PRODUCTION_PARTS.length },
    { description: 'Parts of the production that count against it; all if left out.' },
  )
  counts?: ProductionPartName[];
}

/** Choices for the production by year; local law decides what counts. */
export class ProductionYearSettings {
  @Optional()
  @IsWholeNumber(
    { min: 1, max: 12 },
    {
      description:
        'Month with whose first day the year begins; January if left out. The UK’s small-producer relief counts from February (technical guide, section 12).',
      example: 2,
    },
  )
  firstMonth?: number;

  @Optional()
  @IsOneOf(['produced', 'packaged'], {
    description:
      '`produced`: the lines `produced` and `re-measurement`, so alcohol that was fermented, in the month in which the lot was finished. `packaged`: all alcohol filled into containers, added spirit too, in the month of the run. `produced` if left out.',
  })
  basis?: 'produced' | 'packaged';

  @Optional()
  @IsListOf(textRule({ max: 120 }), { min: 1, max: 100 }, { description: 'Categories that count; all if left out.' })
  categories?: string[];

  @Optional()
  @NestedList(() => GroupProduction, { max: 500 }, { description: 'Other members of the group, each year once.' })
  group?: GroupProduction[];

  @Optional()
  @NestedList(() => ProductionThreshold, { max: 20 }, { description: 'Each name once.' })
  thresholds?: ProductionThreshold[];
}
