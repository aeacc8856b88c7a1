import { ListOf } from '../../platform/openapi/list-of.js';
import type { FieldOptions } from '../../platform/validation/field.js';
import { Optional } from '../../platform/validation/field.js';
import { IsListOf, IsOneOf, IsPlainText } from '../../platform/validation/fields.js';
import { oneOfRule } from '../../platform/validation/text-rules.js';
import type { ReasonNeed, ReasonUse } from './reason-codes.js';
import { LOSS_REASONS, REASONS } from './reason-codes.js';

const MEANINGS = REASONS.map(({ code, meaning }) => `\`${code}\`: ${meaning}`).join(' ');
const NEEDS: readonly ReasonNeed[] = ['note', 'occurredAt', 'witness', 'evidence/report', 'evidence/method'];
const USES: readonly ReasonUse[] = ['loss', 'correction', 'strike'];

/** A reason of a loss, a count or a gauge: a code of the closed list. */
export const IsLossReason = ({ description = 'Why.', example = 'breakage' }: FieldOptions = {}): PropertyDecorator =>
  IsOneOf(LOSS_REASONS, {
    description: `${description} A code of \`GET /v1/reason-codes\`, which says what each means and needs.`,
    example,
  });

export class ReasonCode {
  @IsOneOf(REASONS.map(({ code }) => code), { description: MEANINGS, example: 'breakage' })
  code: string;

  @IsPlainText({ max: 200 })
  meaning: string;

  @IsListOf(
    oneOfRule(USES),
    { min: 1, max: USES.length },
    {
      description: '`loss`: losses, counts and gauges; `correction`: corrections and reversals; `strike`: readings.',
    },
  )
  uses: ReasonUse[];

  @IsListOf(
    oneOfRule(NEEDS),
    { max: NEEDS.length },
    {
      description:
        'Properties without which the reason is refused. In place of a witness the number of an approval does (evidence.approval). At a count of a stock-take the note is its explanation.',
    },
  )
  needs: ReasonNeed[];

  @IsOneOf(['needed', 'possible', 'none'], { description: 'Whether a movement with this reason may name a witness.' })
  witness: 'needed' | 'possible' | 'none';

  @Optional()
  @IsPlainText(
    { max: 60 },
    { description: 'Row of the comparison of excise rules that asks for it; common practice, no source, if absent.' },
  )
  reference?: string;
}

export class ReasonCodePage extends ListOf(ReasonCode) {}
