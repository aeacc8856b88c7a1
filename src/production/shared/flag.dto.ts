import { IsPlainText } from '../../platform/validation/fields.js';

/** A doubt about an entry that was stored all the same. */
export class Flag {
  @IsPlainText({ max: 60 }, { description: 'Stable kebab-case name of the doubt.', example: 'gauge-difference' })
  code: string;

  @IsPlainText({ max: 500 }, { description: 'What is doubted, and what to do about it.' })
  detail: string;
}
