import type { Quantity } from '../../../metrology/units.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsOneOf, IsPlainText, IsQuantityOf } from '../../../platform/validation/fields.js';

export const STEP_KINDS = [
  'heat',
  'cool',
  'pitch-yeast',
  'add-nutrient',
  'rack',
  'cold-store',
  'carbonate',
  'condition',
  'filter',
  'other',
] as const;
export type StepKind = (typeof STEP_KINDS)[number];

const TEMPERATURE = { min: -30, max: 130, maxDecimals: 4 };

/** The kind of a step, with the temperature and the time that it is held. */
export class StepFacts {
  @IsOneOf(STEP_KINDS, { example: 'heat' })
  kind: StepKind;

  @Optional()
  @IsQuantityOf('temperature', TEMPERATURE, {
    description: 'Temperature that is reached or held.',
    example: { value: 80, unit: 'Cel' },
  })
  temperature?: Quantity;

  @Optional()
  @IsQuantityOf(
    'time',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 3 },
    { description: 'How long it is held.', example: { value: 15, unit: 'min' } },
  )
  duration?: Quantity;
}

/** A step of the process as the recipe plans it. */
export class PlannedStep extends StepFacts {
  @Optional()
  @IsPlainText(
    { max: 80 },
    { description: 'Its name, where the kind does not say enough.', example: 'Racked off the yeast' },
  )
  name?: string;

  @Optional()
  @IsQuantityOf(
    'time',
    { min: 0, max: 1_000_000, maxDecimals: 3 },
    {
      description:
        'When it is due, counted from the first charge of the lot, or from its beginning while nothing is charged. Left out for a step without a time.',
      example: { value: 14, unit: 'd' },
    },
  )
  after?: Quantity;
}

/** Steps of a plan. */
export const MOST_STEPS = 50;
