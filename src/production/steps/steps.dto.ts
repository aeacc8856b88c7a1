import type { Quantity } from '../../metrology/units.js';
import { NestedList, Optional } from '../../platform/validation/field.js';
import {
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../platform/validation/fields.js';
import { textRule } from '../../platform/validation/text-rules.js';
import { MOST_STEPS, PlannedStep, STEP_KINDS, StepFacts } from '../shared/steps/planned-step.dto.js';
import type { StepKind } from '../shared/steps/planned-step.dto.js';

/** `withdrawn` takes an entry back without another in its place. */
const STEP_OUTCOMES = ['done', 'left-out', 'withdrawn'] as const;
export type StepOutcome = (typeof STEP_OUTCOMES)[number];

const NUMBER = { min: 1, max: MOST_STEPS };

export class NewStep {
  @Optional()
  @IsWholeNumber(NUMBER, { description: 'Number of the step in the plan of the recipe; its kind is that of the plan.' })
  number?: number;

  @Optional()
  @IsOneOf(STEP_KINDS, { description: 'Needed for a step that was not planned.', example: 'heat' })
  kind?: StepKind;

  @Optional()
  @IsQuantityOf(
    'temperature',
    { min: -30, max: 130, maxDecimals: 4 },
    {
      description: 'As measured.',
      example: { value: 80, unit: 'Cel' },
    },
  )
  temperature?: Quantity;

  @Optional()
  @IsQuantityOf(
    'time',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 3 },
    {
      description: 'How long it was held.',
      example: { value: 15, unit: 'min' },
    },
  )
  duration?: Quantity;

  @Optional()
  @IsOneOf(STEP_OUTCOMES, {
    description:
      '`done` if left out. `left-out`: it will not be done. `withdrawn`: with `replaces`, takes that entry back.',
  })
  outcome?: StepOutcome;

  @Optional()
  @IsId({ description: 'The wrong entry that this one takes the place of; that one stays, struck.' })
  replaces?: string;

  @Optional()
  @IsId()
  vesselId?: string;

  @Optional()
  @IsInstant({ description: 'When it was done; now if left out.', example: '2026-03-01T14:30:00Z' })
  occurredAt?: string;

  @Optional()
  @IsId({ description: 'Who did it.' })
  personId?: string;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true }, { description: 'Kept outside the audit trail.' })
  note?: string;
}

/** A step as it was entered. */
export class ProcessStep extends StepFacts {
  @IsId()
  id: string;

  @IsId()
  lotId: string;

  @Optional()
  @IsWholeNumber(NUMBER, { description: 'Of the plan; left out for a step that was not planned.' })
  number?: number;

  @IsPlainText({ max: 200 }, { description: 'The step in words.', example: 'Heat to 80 °C for 15 min' })
  inWords: string;

  @IsOneOf(STEP_OUTCOMES)
  outcome: StepOutcome;

  @Optional()
  @IsId()
  replaces?: string;

  @Optional()
  @IsId()
  vesselId?: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true })
  note?: string;

  @IsListOf(
    textRule({ max: 500 }),
    { max: 10 },
    {
      description: 'The usual cautions; local codes and licensed practice come first.',
    },
  )
  cautions: string[];
}

const PLANNED_STATES = ['open', 'overdue', 'done', 'left-out'] as const;
export type PlannedState = (typeof PLANNED_STATES)[number];

/** A planned step with what became of it. */
export class PlannedStepState extends PlannedStep {
  @IsWholeNumber(NUMBER)
  number: number;

  @IsPlainText({ max: 200 }, { example: 'Heat to 80 °C for 15 min' })
  inWords: string;

  @IsOneOf(PLANNED_STATES)
  state: PlannedState;

  @Optional()
  @IsInstant({ description: 'Left out for a step without a time.' })
  dueAt?: string;

  @Optional()
  @IsId({ description: 'The entry by which it is done or left out.' })
  stepId?: string;

  @IsListOf(
    textRule({ max: 500 }),
    { max: 10 },
    {
      description: 'The usual cautions; local codes and licensed practice come first.',
    },
  )
  cautions: string[];
}

/** An entry of the list: one that was replaced or taken back is struck. */
export class ListedStep extends ProcessStep {
  @Optional()
  @IsId({ description: 'The entry that took its place, or took it back.' })
  replacedBy?: string;
}

export class LotSteps {
  @NestedList(() => PlannedStepState, { max: MOST_STEPS }, { description: 'Of the recipe, in its order.' })
  planned: PlannedStepState[];

  @NestedList(() => ListedStep, { max: 10_000 }, { description: 'In the order of time, replaced ones too.' })
  entered: ListedStep[];
}
