import { Optional } from '../../platform/validation/field.js';
import { IsId, IsInstant, IsOneOf, IsPlainText } from '../../platform/validation/fields.js';
import { CORRECTION_REASONS } from '../../tenancy/reasons/reason-codes.js';

export class NewReversal {
  @IsOneOf(CORRECTION_REASONS, {
    description: 'A code of `GET /v1/reason-codes`; `other` needs a note.',
    example: 'typing-error',
  })
  reasonCode: string;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true }, { description: 'In words; kept outside the audit trail.' })
  note?: string;

  @Optional()
  @IsId()
  personId?: string;
}

/** Inside an event: the operation that it puts right. That one is reversed and the event entered, both or neither. */
export class Corrects extends NewReversal {
  @IsId({ description: 'The operation that was wrong.' })
  operationId: string;
}

export class ReversalAnswer {
  @IsId()
  operationId: string;

  @IsId()
  reverses: string;

  @IsPlainText({ max: 60 })
  kindReversed: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsId({
    description: 'The closed period that the mistake lies in; the reversal then stands on its line in the open one.',
  })
  earlierPeriodId?: string;
}
