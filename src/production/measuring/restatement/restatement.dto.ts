import { NestedList, Optional } from '../../../platform/validation/field.js';
import { IsId, IsInstant, IsPlainText, IsQuantityOf } from '../../../platform/validation/fields.js';
import type { Quantity } from '../../../metrology/units.js';

const LONG = { max: 20_000 };

/** Lot that the liquid of a line belongs to. */
export interface LineSubject {
  readonly lotId?: string;
  readonly compositionId?: string;
  readonly packagedLotId?: string;
  readonly materialLotId?: string;
}

export class AffectedStock implements LineSubject {
  @Optional()
  @IsId()
  lotId?: string;

  @Optional()
  @IsId()
  compositionId?: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @Optional()
  @IsId()
  materialLotId?: string;

  @Optional()
  @IsId()
  vesselId?: string;

  @IsQuantityOf(
    'volume',
    { units: ['L'] },
    { description: 'Litres of the liquid in question that are there, or its change in litres.' },
  )
  volume: Quantity;

  @IsQuantityOf('volume', { units: ['L'] }, { description: 'Change in litres of pure alcohol, as posted.' })
  pureAlcohol: Quantity;
}

export class AffectedOutflow {
  @IsId({ description: 'The operation with which it went out of stock.' })
  operationId: string;

  @IsPlainText({ max: 60 })
  operationKind: string;

  @IsPlainText(
    { max: 60 },
    {
      description:
        'Line of the books. `measured-since`: its strength was measured on its own since, or will be when it finishes.',
    },
  )
  kind: string;

  @IsInstant()
  occurredAt: string;

  @IsQuantityOf(
    'volume',
    { units: ['L'] },
    { description: 'Litres of the liquid in question that went out; below zero where more was found.' },
  )
  volume: Quantity;

  @IsQuantityOf('volume', { units: ['L'] }, { description: 'Change of its litres of pure alcohol; shown, not posted.' })
  pureAlcohol: Quantity;
}

export class RestatedFinding {
  @IsId()
  id: string;

  @Optional()
  @IsId({ description: 'Left out for the first strength of the composition.' })
  restates?: string;

  @IsId()
  compositionId: string;

  @IsQuantityOf('fraction')
  strength: Quantity;
}

/** Effects of a new strength on liquid that has since been moved, mixed, packed or sent out. */
export class Restatement {
  @IsQuantityOf('fraction', {}, { description: 'New strength minus old, % vol.' })
  change: Quantity;

  @NestedList(() => AffectedStock, LONG, {
    description: 'Liquid that is still in stock, each line with its share of the change.',
  })
  inStock: AffectedStock[];

  @NestedList(() => AffectedOutflow, LONG, {
    description: 'Liquid that is no longer in stock, by operation. It is shown and not posted.',
  })
  outflows: AffectedOutflow[];

  @NestedList(() => RestatedFinding, LONG, {
    description: 'Strengths of derived compositions that were restated with it.',
  })
  findings: RestatedFinding[];
}
