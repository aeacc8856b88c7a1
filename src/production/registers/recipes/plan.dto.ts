import type { Gravity } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { Quantity } from '../../../metrology/units.js';
import { Field, Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsId,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
} from '../../../platform/validation/fields.js';
import type { WaterIons } from '../../../platform/validation/water-ions.js';
import { IsWaterIons } from '../../../platform/validation/water-ions.js';
import type { WaterSalt } from '../../../alcoholometry/water/brewing-water.js';
import { WATER_SALTS } from '../../../alcoholometry/water/brewing-water.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { MOST_STEPS, PlannedStep } from '../../shared/steps/planned-step.dto.js';
import { exactGravityRule } from '../../shared/exact-gravity.js';
import type { FermentableKind } from '../../../alcoholometry/plans/fermentables.js';
import { FERMENTABLES } from '../../../alcoholometry/plans/fermentables.js';

const PLAN_KINDS = ['sugar-wash', 'malt', 'spirit-based'] as const;
export type PlanKind = (typeof PLAN_KINDS)[number];

/** As many as the mass balance of the plan takes. */
const MOST_FERMENTABLES = 20;

export class PlannedFermentable {
  @Optional()
  @IsId({ description: 'Which material; its extract yield stands in where none is given here.' })
  materialId?: string;

  @IsOneOf(FERMENTABLES, { example: 'dextrose-monohydrate' })
  kind: FermentableKind;

  @IsQuantityOf(
    'mass',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    { example: { value: 20, unit: 'kg' } },
  )
  mass: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 1, max: 100, maxDecimals: 6 },
    { description: 'Malt and malt extract: extract over mass as weighed, losses of the brewhouse included.' },
  )
  extractYield?: Quantity;
}

class PlannedSalt {
  @IsOneOf(WATER_SALTS, {
    description: 'With its water of crystallisation, as the label names it.',
    example: 'calcium-chloride-dihydrate',
  })
  salt: WaterSalt;

  @IsQuantityOf('mass', { min: 0, aboveMin: true, max: 1000, maxDecimals: 6 }, { example: { value: 20, unit: 'g' } })
  mass: Quantity;
}

export class PlannedWater {
  @Optional()
  @IsWaterIons({
    description: 'The water before, from its analysis; distilled water if left out.',
    example: { calcium: { value: 20, unit: 'mg/L' }, bicarbonate: { value: 61, unit: 'mg/L' } },
  })
  base?: WaterIons;

  @Optional()
  @NestedList(() => PlannedSalt, { max: 20 })
  salts?: PlannedSalt[];
}

export class RecipePlan {
  @IsOneOf(PLAN_KINDS, {
    description: 'Decides the default uncertainty of the mass balance: 3 % of the strength for sugar, 2.4 % for malt.',
    example: 'sugar-wash',
  })
  kind: PlanKind;

  @IsQuantityOf(
    'volume',
    { min: 0.001, max: 1_000_000, maxDecimals: 6 },
    { description: 'Of the wash, the wort or the drink to be mixed, at 20 °C.', example: { value: 200, unit: 'L' } },
  )
  volume: Quantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 6 },
    { description: 'The strength that is wanted.', example: { value: 5, unit: '%' } },
  )
  strength?: Quantity;

  @Optional()
  @NestedList(() => PlannedFermentable, { max: MOST_FERMENTABLES })
  fermentables?: PlannedFermentable[];

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 140, maxDecimals: 6 },
    {
      description: 'Apparent attenuation. Above 100 % the finished drink has a lower gravity than water.',
      example: { value: 118, unit: '%' },
    },
  )
  expectedAttenuation?: Quantity;

  @Optional()
  @Field(exactGravityRule, {
    description: 'The gravity at which it will stand still; instead of the attenuation.',
    example: { value: 0.995, scale: 'sg-20-20' },
  })
  finalGravity?: Gravity;

  @Optional()
  @NestedList(
    () => PlannedStep,
    { max: MOST_STEPS },
    {
      description:
        'Steps of the process in their order. What was done with a lot is entered under `/v1/lots/{id}/steps`.',
    },
  )
  steps?: PlannedStep[];

  @Optional()
  @Nested(() => PlannedWater, {
    description:
      'Brewing water and its salts. Ions are computed for the volume of the plan; what malt gives is not counted.',
  })
  water?: PlannedWater;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true })
  notes?: string;
}

/** Expected figures of the plan. Computed when the version is made, and kept. */
export class ExpectedFigures {
  @Optional()
  @Field(exactGravityRule)
  originalGravity?: Gravity;

  @Optional()
  @IsDecimalNumber({}, { description: 'Original extract, °P.' })
  originalExtract?: number;

  @Optional()
  @Field(exactGravityRule)
  finalGravity?: Gravity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Computed from the fermentables; without any, the planned one.' })
  strength?: Quantity;

  @Optional()
  @IsDecimalNumber({}, { description: 'Standard uncertainty of the strength by the model alone, % vol.' })
  strengthModelUncertainty?: number;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'After fermentation, degassed, yeast out, at 20 °C.' })
  finalVolume?: Quantity;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'Yield in litres of pure alcohol at 20 °C.' })
  pureAlcohol?: Quantity;

  @Optional()
  @IsWaterIons({ description: 'Ions of the water with its salts, in the volume of the plan.' })
  waterIons?: WaterIons;

  @IsListOf(textRule({ max: 500 }), { max: 20 })
  warnings: string[];

  @Field(
    { schema: { type: 'object', additionalProperties: { type: 'string', maxLength: 300 } }, check: () => [] },
    { description: 'id, version and source of the method.' },
  )
  method: { id: string; version: string; source: string };
}
