import { FERMENTATION_STATES } from '../../../alcoholometry/fermentation/fermentation-state.js';
import type { FermentationState } from '../../../alcoholometry/fermentation/fermentation-state.js';
import type { Gravity } from '../../../alcoholometry/liquids/gravity-scales.js';
import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsGravity,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';

export class TerminalGravityRule {
  @IsDecimalNumber({}, { description: 'Largest change of the gravity, °P.' })
  changePlato: number;

  @IsWholeNumber({ min: 1, max: 1000 }, { description: 'Hours over which it may change by no more than that.' })
  hours: number;
}

export class ExpectedFinish {
  @IsInstant({ description: 'From when on the rule is expected to be kept.' })
  at: string;

  @IsInstant({ description: 'Start of the 95 % interval.' })
  earliest: string;

  @IsInstant({ description: 'End of the 95 % interval.' })
  latest: string;
}

export class ExpectedFinalGravity {
  @IsGravity()
  gravity: Gravity;

  @IsGravity({}, { description: 'Lower limit of the 95 % interval.' })
  low: Gravity;

  @IsGravity({}, { description: 'Upper limit of the 95 % interval.' })
  high: Gravity;
}

export class ForecastMethod {
  @IsPlainText({ max: 60 })
  id: string;

  @IsPlainText({ max: 20 })
  version: string;
}

export class FermentationFlag {
  @IsOneOf(['stalled', 'lag-long', 'terminal'])
  code: string;

  @IsPlainText({ max: 500 })
  detail: string;

  @IsPlainText({ max: 500 })
  suggestion: string;
}

/** Progress of a fermentation, by the gravities of the lot as read. */
export class FermentationWatch {
  @IsId()
  lotId: string;

  @IsOneOf(FERMENTATION_STATES, {
    description:
      'lag: no fall beyond the rule’s change yet. slowing: the last fall is less than half of the fastest. terminal: no change beyond the rule’s over its hours.',
  })
  state: FermentationState;

  @Nested(() => TerminalGravityRule, { description: 'The producer’s rule, see settings.' })
  rule: TerminalGravityRule;

  @IsWholeNumber({ min: 1, max: 1_000_000 }, { description: 'Gravities that were used.' })
  readings: number;

  @IsInstant({ description: 'Time of the first of them.' })
  begunAt: string;

  @IsInstant()
  lastReadAt: string;

  @IsGravity({}, { description: 'The last one.' })
  lastGravity: Gravity;

  @Optional()
  @IsDecimalNumber({}, { description: 'Fall between the last two, °P a day.' })
  fallPlatoPerDay?: number;

  @Optional()
  @IsInstant({ description: 'Since when the gravity stands still; of a terminal one.' })
  stillSince?: string;

  @Optional()
  @Nested(() => ExpectedFinish, { description: 'Absent where it is too early to say, or when it is terminal.' })
  expectedFinish?: ExpectedFinish;

  @Optional()
  @Nested(() => ExpectedFinalGravity)
  expectedFinalGravity?: ExpectedFinalGravity;

  @Optional()
  @Nested(() => ForecastMethod, { description: 'Of the forecast.' })
  method?: ForecastMethod;

  @NestedList(() => FermentationFlag, { max: 3 })
  flags: FermentationFlag[];
}
