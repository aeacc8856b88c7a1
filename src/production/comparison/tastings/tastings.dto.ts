import type { Tasting as TastingRow } from '../../../generated/prisma/client.js';
import { MOST_SERVINGS } from '../../../metrology/blind-order.js';
import type { SensoryMethod } from '../../../metrology/sensory.js';
import { SENSORY_METHODS } from '../../../metrology/sensory.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';

const CODE = /^[1-9]\d\d$/;
const A_CODE = 'a code of three digits';
const HIGHEST = 2147483647;

export class TastedDrink {
  @IsPlainText(
    { max: 60 },
    { description: 'Name of the drink for the result; assessors never see it.', example: 'Yeast 1' },
  )
  label: string;

  @Optional()
  @IsId({ description: 'The lot that is tasted.' })
  lotId?: string;
}

export class NewTasting {
  @IsPlainText({ max: 120 }, { example: 'Two yeasts, dry seltzer base' })
  name: string;

  @IsOneOf(SENSORY_METHODS, {
    description:
      '`triangle` (ISO 4120): which of three is the odd one. `paired` (ISO 5495): which of two has more of something.',
    example: 'triangle',
  })
  method: SensoryMethod;

  @NestedList(() => TastedDrink, { min: 2, max: 2 }, { description: 'The two drinks, first A and then B.' })
  drinks: TastedDrink[];

  @IsWholeNumber(
    { min: 1, max: MOST_SERVINGS },
    {
      description:
        'Servings to prepare, one for each answer. A multiple of 6 (triangle) or 2 (paired) is balanced whole.',
      example: 24,
    },
  )
  servings: number;

  @Optional()
  @IsPlainText(
    { max: 200 },
    { description: 'Paired only, needed there: what assessors are asked.', example: 'Which one is sweeter?' },
  )
  question?: string;

  @Optional()
  @IsWholeNumber(
    { min: 1, max: 2 },
    {
      description:
        'Sides of the test. A triangle test has one. Of a paired comparison 2 if left out; 1 only where it is known beforehand that the first drink should be chosen.',
    },
  )
  sides?: number;

  @Optional()
  @IsDecimalNumber(
    { min: 0.001, max: 0.5, maxDecimals: 3 },
    { description: 'Accepted probability of a difference that is shown by chance; 0.05 if left out.', example: 0.05 },
  )
  significance?: number;
}

export class TastingChange {
  @IsFlag({ description: 'true closes the tasting for good: no more answers, and the result is shown.' })
  closed: boolean;
}

export class NewTastingAnswer {
  @IsWholeNumber({ min: 1, max: MOST_SERVINGS }, { description: 'The number of the serving.', example: 1 })
  serving: number;

  @IsPattern(CODE, A_CODE, { min: 3, max: 3 }, { description: 'The code that was chosen.', example: '417' })
  chosen: string;

  @Optional()
  @IsId({ description: 'The assessor.' })
  personId?: string;

  @Optional()
  @IsPlainText(
    { max: 1000, multiline: true },
    { description: 'Tasting note. Kept outside the audit trail, which has its salted hash.' },
  )
  note?: string;
}

export class TastingAnswer extends NewTastingAnswer {
  @IsId()
  id: string;

  @IsId()
  tastingId: string;

  @IsInstant()
  createdAt: string;
}

export class TastingServing {
  @IsWholeNumber({ min: 1, max: MOST_SERVINGS })
  number: number;

  @IsListOf(
    textRule({ max: 3 }),
    { min: 2, max: 3 },
    { description: 'Codes in the order of tasting.', example: ['417', '902', '135'] },
  )
  codes: string[];
}

class RevealedAnswer {
  @IsWholeNumber({ min: 1, max: MOST_SERVINGS })
  serving: number;

  @IsPlainText({ max: 60 }, { description: 'Label of the drink that was chosen.' })
  chosen: string;

  @Optional()
  @IsFlag({ description: 'Triangle only: the odd one was found.' })
  correct?: boolean;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsPlainText({ max: 1000, multiline: true })
  note?: string;
}

export class TastingResult {
  @IsWholeNumber({ min: 0, max: MOST_SERVINGS })
  answers: number;

  @IsWholeNumber(
    { min: 0, max: MOST_SERVINGS },
    { description: 'Right answers of a triangle test; choices of the first drink in a paired comparison.' },
  )
  chosen: number;

  @Optional()
  @IsDecimalNumber(
    {},
    { description: 'Probability of so clear a result where there is no difference; left out without an answer.' },
  )
  pValue?: number;

  @Optional()
  @IsWholeNumber(
    { min: 0, max: MOST_SERVINGS },
    { description: 'Least number that shows a difference; left out where the answers are too few for any.' },
  )
  leastNumber?: number;

  @IsOneOf(['difference-shown', 'no-difference-shown', 'too-few-answers'], {
    description: '`no-difference-shown` is no proof that the drinks are alike.',
  })
  decision: 'difference-shown' | 'no-difference-shown' | 'too-few-answers';

  @IsPlainText({ max: 300 }, { description: 'The result in a sentence.' })
  statement: string;

  @NestedList(() => RevealedAnswer, { max: MOST_SERVINGS })
  panel: RevealedAnswer[];
}

export class Tasting {
  @IsId()
  id: string;

  @IsPlainText({ max: 120 })
  name: string;

  @IsOneOf(SENSORY_METHODS)
  method: SensoryMethod;

  @IsWholeNumber({ min: 1, max: 2 })
  sides: number;

  @IsDecimalNumber()
  significance: number;

  @Optional()
  @IsPlainText({ max: 200 })
  question?: string;

  @NestedList(() => TastedDrink, { max: 2 })
  drinks: TastedDrink[];

  @NestedList(
    () => TastingServing,
    { max: MOST_SERVINGS },
    { description: 'What each assessor gets. Codes say nothing of the drink.' },
  )
  servings: TastingServing[];

  @IsFlag({ description: 'Closed for good; only then is there a result.' })
  closed: boolean;

  @IsWholeNumber({ min: 1, max: HIGHEST })
  version: number;

  @IsInstant()
  createdAt: string;
}

export class TastingWithResult extends Tasting {
  @IsWholeNumber({ min: 0, max: MOST_SERVINGS }, { description: 'Answers so far.' })
  answers: number;

  @Optional()
  @Nested(() => TastingResult, { description: 'Present once the tasting is closed.' })
  result?: TastingResult;
}

export class TastingPage extends ListOf(Tasting) {}

class PouredSample {
  @IsPattern(CODE, A_CODE, { min: 3, max: 3 })
  code: string;

  @IsPlainText({ max: 60 }, { description: 'Label of the drink that goes into the glass of this code.' })
  label: string;
}

class PouredServing {
  @IsWholeNumber({ min: 1, max: MOST_SERVINGS })
  number: number;

  @NestedList(() => PouredSample, { min: 2, max: 3 })
  samples: PouredSample[];
}

export class PouringList {
  @IsId()
  tastingId: string;

  @NestedList(() => PouredServing, { max: MOST_SERVINGS })
  servings: PouredServing[];

  @IsListOf(textRule({ max: 300 }), { max: 5 })
  warnings: string[];
}

export type TastingColumns = Pick<
  TastingRow,
  'name' | 'method' | 'sides' | 'question' | 'significance' | 'drinks' | 'servings'
>;
