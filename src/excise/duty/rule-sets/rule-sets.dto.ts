import { ApiProperty } from '@nestjs/swagger';
import { ROUNDING_BASES, ROUNDING_GROUPINGS, ROUNDING_MODES } from '../../../metrology/rounding-rules.js';
import type { RoundingBasis, RoundingGrouping, RoundingMode } from '../../../metrology/rounding-rules.js';
import { MAXIMUM_ROUNDING_STEPS } from '../../../metrology/rounding-rules.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import type {
  Cadence,
  DutyBasis,
  DutyUnit,
  Percent,
  RuleSet,
  StrengthRule,
  ReturnTreatment,
} from '../rules/rule-set.js';
import type { RoundedThing } from '../starting-points/rounding-grounds.js';
import { ROUNDED_THINGS, SEEN } from '../starting-points/rounding-grounds.js';
import { CADENCES, DUTY_BASES, DUTY_UNITS, STRENGTH_RULES, RETURN_TREATMENTS } from '../rules/rule-set.js';

const CODE = /^[A-Za-z0-9]+([.-][A-Za-z0-9]+)*$/;
const IsCode = (example: string): PropertyDecorator =>
  IsPattern(CODE, 'a code of letters, digits, points and hyphens', { max: 60 }, { example });
const PERCENT = { min: 0, max: 100, maxDecimals: 6 };
const MONEY = { min: 0, max: 1_000_000_000, maxDecimals: 6 };

export class StrengthBandLimits {
  @IsCode('3.5-8.4')
  code: string;

  @Optional()
  @IsPlainText({ max: 120 }, { example: '3.5 to 8.4 % vol' })
  name?: string;

  @IsQuantityOf('fraction', PERCENT, {
    description: 'The band begins with this strength, % vol; the first band with 0.',
    example: { value: 0, unit: '%' },
  })
  fromStrength: Percent;

  @Optional()
  @IsQuantityOf('fraction', PERCENT, {
    description: 'It ends below this strength, with which the next band begins; the last band has none.',
  })
  belowStrength?: Percent;

  @Optional()
  @IsFlag({ description: 'true: no duty falls on it.' })
  untaxed?: boolean;
}

export class DutyRateEntry {
  @IsCode('3.5-8.4')
  band: string;

  @IsDateOnly({ description: 'First duty date.', example: '2026-02-01' })
  from: string;

  @Optional()
  @IsDateOnly({ description: 'Duty dates before this day; the next rate begins with it.', example: '2027-02-01' })
  before?: string;

  @IsDecimalNumber(MONEY, { description: 'For one unit of the category, in the currency of the set.', example: 21.78 })
  amount: number;
}

export class DutyReliefRules {
  @IsPlainText({ max: 120 }, { example: 'discount of a small producer rounded up to the penny' })
  name: string;

  @IsOneOf(['per-unit', 'percentage'], { description: 'Off the rate: an amount for one unit, or a part of it in %.' })
  kind: 'per-unit' | 'percentage';

  @IsDecimalNumber({ ...MONEY, aboveMin: true })
  amount: number;

  @IsOneOf(ROUNDING_MODES, { description: 'How the discount is rounded.', example: 'up' })
  mode: RoundingMode;

  @IsWholeNumber({ min: 0, max: 9 })
  places: number;

  @Optional()
  @IsListOf(textRule({ max: 60 }), { min: 1, max: 50, unique: true }, { description: 'All bands if left out.' })
  bands?: string[];

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 6, units: ['L'] },
    { description: 'Only goods in containers of this volume or more.' },
  )
  minimumContainer?: { value: number; unit: 'L' };

  @Optional()
  @IsFlag({ description: 'true: only what is packed for a dispense system.' })
  forDispense?: boolean;
}

export class RoundingStep {
  @IsPlainText({ max: 120 }, { example: 'strength cut to 0.1' })
  name: string;

  @IsOneOf(ROUNDING_BASES, { example: 'strength' })
  basis: RoundingBasis;

  @IsOneOf(ROUNDING_MODES, { description: '`cut` towards zero, `up` away from it.', example: 'cut' })
  mode: RoundingMode;

  @IsWholeNumber({ min: 0, max: 9 })
  places: number;

  @Optional()
  @IsOneOf(ROUNDING_GROUPINGS, { description: 'Each line, each day’s sum or the period’s sum; `line` if left out.' })
  grouping?: RoundingGrouping;
}

export class DutyCategoryRules {
  @IsCode('beer')
  code: string;

  @IsPlainText({ max: 120 }, { example: 'Beer' })
  name: string;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: 100, unique: true },
    {
      description: 'Categories of the books that it takes; if left out, all that no other category takes.',
      example: ['beer'],
    },
  )
  takes?: string[];

  @IsOneOf(DUTY_BASES)
  basis: DutyBasis;

  @IsOneOf(DUTY_UNITS, { description: 'Unit of the quantity for duty; each basis takes its own.' })
  unit: DutyUnit;

  @Optional()
  @IsQuantityOf('fraction', PERCENT, { description: 'Part of the strength on which no duty is charged, % vol.' })
  freeStrength?: Percent;

  @NestedList(
    () => StrengthBandLimits,
    { min: 1, max: 50 },
    { description: 'In order, from 0 % vol on, without a gap.' },
  )
  bands: StrengthBandLimits[];

  @Optional()
  @NestedList(() => DutyRateEntry, { max: 500 }, { description: 'Without any, no money is calculated.' })
  rates?: DutyRateEntry[];

  @Optional()
  @Nested(() => DutyReliefRules)
  relief?: DutyReliefRules;

  @Optional()
  @NestedList(
    () => RoundingStep,
    { max: MAXIMUM_ROUNDING_STEPS },
    { description: 'In the order in which they are taken.' },
  )
  rounding?: RoundingStep[];
}

export class StrengthForDuty {
  @IsOneOf(STRENGTH_RULES)
  rule: StrengthRule;

  @Optional()
  @IsQuantityOf('fraction', PERCENT, {
    description:
      'With declared-unless-measured-above: the measured strength counts when it is above the declared one by more than this, % vol.',
  })
  tolerance?: Percent;
}

export class SourceReference {
  @IsPlainText({ max: 400 })
  citation: string;

  @Optional()
  @IsPlainText({ max: 400 })
  url?: string;

  @IsPlainText({ max: 120 }, { example: '2025' })
  edition: string;

  @Optional()
  @IsPlainText({ max: 600 })
  note?: string;
}

export class NewDutyRuleSet {
  @IsPlainText({ max: 200 }, { example: 'Litres of pure alcohol by the declared strength, nothing rounded' })
  name: string;

  @IsDateOnly({
    description:
      'First duty date. Of the sets that have begun, the one that began last holds; of one day, the later version.',
    example: '2026-01-01',
  })
  validFrom: string;

  @Optional()
  @NestedList(() => SourceReference, { max: 20 })
  sources?: SourceReference[];

  @Optional()
  @IsPattern(/^[A-Z]{3}$/, 'a currency code of three capital letters', { max: 3 }, { example: 'GBP' })
  currency?: string;

  @IsOneOf(CADENCES, { description: 'How often duty is returned; said, not enforced.' })
  cadence: Cadence;

  @Optional()
  @IsQuantityOf('fraction', PERCENT, {
    description: 'A release whose measured and declared strength differ by more than this, % vol, is flagged.',
  })
  labelTolerance?: Percent;

  @Nested(() => StrengthForDuty)
  strengthForDuty: StrengthForDuty;

  @Optional()
  @IsOneOf(RETURN_TREATMENTS, {
    description:
      'Duty on goods that come back: set off against the releases of the day or of the period, or claimed separately (if left out).',
    example: 'claim',
  })
  returns?: ReturnTreatment;

  @NestedList(() => DutyCategoryRules, { min: 1, max: 50 })
  categories: DutyCategoryRules[];
}

export class DutyRuleSetRequest extends NewDutyRuleSet {
  @Optional()
  @IsId({ description: 'Who chose the classes and rates; the key is kept in any case.' })
  personId?: string;
}

export class DutyRuleSet {
  @IsId()
  id: string;

  @IsWholeNumber({ min: 1, max: 2147483647 }, { description: 'Version: 1, 2, 3…; none is ever edited.' })
  number: number;

  @Nested(() => NewDutyRuleSet)
  ruleSet: NewDutyRuleSet;

  @IsPlainText({ max: 200 })
  advice: string;

  @Optional()
  @IsId({ description: 'Who chose the classes and rates, if a person was named.' })
  personId?: string;

  @Optional()
  @IsId({ description: 'The key with which it was entered.' })
  keyId?: string;

  @IsInstant()
  createdAt: string;
}

export class DutyRuleSetPage extends ListOf(DutyRuleSet) {}

/** The place where a published rule puts a rounding, and the place where the set takes it. */
export class RoundingPlace {
  @IsPlainText({ max: 120 }, { description: 'Name of the step in the set.' })
  step: string;

  @Optional()
  @IsOneOf(ROUNDED_THINGS, { description: 'By the source; left out where it is not said.' })
  published?: RoundedThing;

  @IsOneOf(ROUNDED_THINGS, {
    description: 'By the set: a `return-line` is the sum of a category, band and rate in the period.',
  })
  taken: RoundedThing;

  @IsPlainText({ max: 300 })
  source: string;

  @IsOneOf(SEEN)
  seen: (typeof SEEN)[number];

  @Optional()
  @IsPlainText({ max: 500 })
  note?: string;
}

export class StartingPointSummary {
  @IsPlainText({ max: 60 })
  key: string;

  @IsPlainText({ max: 200 })
  title: string;

  @IsPlainText({ max: 400 }, { description: 'How far its rates go, or why it has none.' })
  rates: string;

  @IsPlainText({ max: 200 })
  advice: string;

  @ApiProperty({ type: [RoundingPlace], description: 'Places of the roundings, each with its source.' })
  rounding: RoundingPlace[];

  @ApiProperty({ type: NewDutyRuleSet, description: 'A body for POST /v1/duty-rule-sets.' })
  ruleSet: RuleSet;
}

export class StartingPointPage extends ListOf(StartingPointSummary) {}
