import type { Quantity } from '../../metrology/units.js';
import { Corrects } from '../../ledger/corrections/corrections.dto.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import { IsId, IsInstant, IsListOf, IsPlainText, IsQuantityOf } from '../../platform/validation/fields.js';
import { textRule } from '../../platform/validation/text-rules.js';

export type WireQuantity = Quantity;

/** Properties of every event in production: time, person, note. */
export class EventBody {
  @Optional()
  @IsInstant({ description: 'When it happened; now if left out.', example: '2026-03-01T14:30:00Z' })
  occurredAt?: string;

  @Optional()
  @Nested(() => Corrects, {
    description:
      'The operation that this event puts right: that one is reversed and this one entered, both or neither.',
  })
  corrects?: Corrects;

  @Optional()
  @IsId({ description: 'Who did it.' })
  personId?: string;

  @Optional()
  @IsPlainText(
    { max: 2000, multiline: true },
    { description: 'Kept outside the audit trail, which holds a salted hash of it.' },
  )
  note?: string;
}

/** A draw that may have to say which later gauge or stock-take it explains. */
export class DrawBody extends EventBody {
  @Optional()
  @IsId({
    description:
      'Where a later gauge or stock-take of the same goods is in the way: that operation. What it asserted still stands; its difference becomes smaller by this entry.',
  })
  explains?: string;
}

/** Properties of every answer to an event: facts that the write fixed. */
export class EventAnswer {
  @IsId()
  operationId: string;

  @IsPlainText({ max: 60 })
  kind: string;

  @IsInstant()
  occurredAt: string;

  @IsId()
  lotId: string;

  @IsId({ description: 'The composition that the liquid belongs to after the event.' })
  compositionId: string;

  @IsQuantityOf('volume', {}, { description: 'Litres at 20 °C that the event was about.' })
  volume: Quantity;

  @IsQuantityOf('volume', {}, { description: 'Litres of pure alcohol at 20 °C in it, as the books hold them.' })
  pureAlcohol: Quantity;

  @IsListOf(textRule({ max: 500 }), { max: 100 })
  warnings: string[];
}
