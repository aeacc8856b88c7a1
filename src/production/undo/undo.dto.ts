import { Optional } from '../../platform/validation/field.js';
import { IsId, IsInstant, IsOneOf, IsPlainText } from '../../platform/validation/fields.js';

export class NewUndo {
  @Optional()
  @IsId({
    description:
      'Takes back the last entry that names this person, by whichever key; left out, the last one of the key itself.',
  })
  personId?: string;
}

const UNDONE_KINDS = ['operation', 'reading', 'step', 'period'] as const;
export type UndoneKind = (typeof UNDONE_KINDS)[number];

/** The entry that was taken back. */
export class Undone {
  @IsOneOf(UNDONE_KINDS)
  kind: UndoneKind;

  @IsId({ description: 'Of the operation, reading, step or period that no longer counts; it stays on record.' })
  id: string;

  @IsPlainText(
    { max: 60 },
    { description: 'The action of the entry, as the audit trail names it.', example: 'charges.charge' },
  )
  action: string;

  @IsInstant({ description: 'When it was entered.' })
  enteredAt: string;
}
