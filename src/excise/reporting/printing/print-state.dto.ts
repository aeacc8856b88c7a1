import { Optional } from '../../../platform/validation/field.js';
import { IsDecimalNumber, IsOneOf, IsPlainText, IsWholeNumber } from '../../../platform/validation/fields.js';

const STAGES = ['waiting', 'laying-out', 'drawing', 'ready'] as const;

/** Progress of the printing of a document. */
export class PrintState {
  @IsOneOf(STAGES, { description: 'Pages are laid out first, then drawn.' })
  stage: (typeof STAGES)[number];

  @IsWholeNumber({ min: 0, max: 1_000_000 })
  pagesLaidOut: number;

  @IsDecimalNumber({ min: 0, max: 1 }, { description: 'Of the pages that are laid out.' })
  shareDrawn: number;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Where it is fetched, once it is ready.' })
  document?: string;

  @Optional()
  @IsWholeNumber({ min: 0, max: 2_000_000_000 })
  sizeBytes?: number;
}
