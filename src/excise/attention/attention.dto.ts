import { NestedList, Optional } from '../../platform/validation/field.js';
import { IsId, IsInstant, IsListOf, IsOneOf, IsPlainText } from '../../platform/validation/fields.js';
import { textRule } from '../../platform/validation/text-rules.js';

/** In the order of the list: the more urgent first. */
export const ATTENTION_CODES = [
  'vessel-over-capacity',
  'stock-below-zero',
  'label-does-not-hold',
  'label-in-doubt',
  'fermentation-stalled',
  'terminal-gravity',
  'step-overdue',
  'gravity-overdue',
  'filing-overdue',
  'production-above-threshold',
  'calibration-lapsed',
  'calibration-ending',
  'gauge-difference-unexplained',
  'count-difference-unexplained',
  'losses-over-periods',
  'proof-missing',
  'arrival-differs',
  'recipient-missing',
  'production-near-threshold',
  'filed-period-corrected',
  'filing-due',
  'period-to-close',
  'period-to-open',
] as const;
export type AttentionCode = (typeof ATTENTION_CODES)[number];

/** A matter that wants a person. */
export class AttentionItem {
  @IsOneOf(ATTENTION_CODES)
  code: AttentionCode;

  @IsPlainText({ max: 600 }, { example: 'Lot 20260301-1 in FV 1 has reached its terminal gravity.' })
  detail: string;

  @IsPlainText({ max: 600 }, { description: 'How to settle it.', example: 'Make the finding of record.' })
  settle: string;

  @IsListOf(
    textRule({ max: 300 }),
    { min: 1, max: 5 },
    {
      description: 'Addresses of what it is about; where one call settles it, that call first.',
    },
  )
  links: string[];

  @Optional()
  @IsInstant({ description: 'Since when, or until when, it is so; left out where that has no moment.' })
  at?: string;

  @Optional()
  @IsId({ description: 'Premises that it is about; left out where it is about none.' })
  premisesId?: string;
}

export class AttentionQuery {
  @Optional()
  @IsId({ description: 'Only matters of these premises, and those that are about none.' })
  premisesId?: string;

  @Optional()
  @IsOneOf(ATTENTION_CODES, { description: 'Only those with this code.' })
  code?: AttentionCode;
}

export class Attention {
  @IsInstant({ description: 'Moment of the list.' })
  at: string;

  @NestedList(() => AttentionItem, { max: 10_000 }, { description: 'The more urgent first, then the older.' })
  items: AttentionItem[];
}
