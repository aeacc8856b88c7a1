import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { NewReversal } from '../../../ledger/corrections/corrections.dto.js';
import { Litres } from '../../../ledger/books/litres.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { RestatedFinding, AffectedOutflow, AffectedStock } from '../../measuring/restatement/restatement.dto.js';

/** The right value; exactly one of volume, strength, count and loss. */
export class RightValue {
  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 },
    {
      description:
        'Volume of a charge, a gauge, a receipt or a liquid of an opening; the water of a dilution; the liquid of an addition; at 20 °C.',
      example: { value: 102, unit: 'L' },
    },
  )
  volume?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 6 },
    { description: 'Of a receipt, or as an opening states it, % vol at 20 °C.' },
  )
  strength?: WireQuantity;

  @Optional()
  @IsWholeNumber(
    { min: 0, max: 1_000_000_000 },
    { description: 'Containers of a packaging run, or of packed goods of an opening.', example: 178 },
  )
  count?: number;

  @Optional()
  @IsQuantityOf('volume', { min: 0, max: 1_000_000, maxDecimals: 6 }, { description: 'Of a transfer, at 20 °C.' })
  loss?: WireQuantity;

  @Optional()
  @IsId({ description: 'Of an opening: the liquid that the value is about.' })
  compositionId?: string;

  @Optional()
  @IsId({ description: 'Of an opening: the packed goods that the value is about.' })
  packagedLotId?: string;
}

export class NewDifference extends NewReversal {
  @Nested(() => RightValue)
  correct: RightValue;

  @Optional()
  @IsFlag({ description: 'true to see what would be posted; nothing is stored.' })
  preview?: boolean;
}

export class DifferenceLine {
  @IsPlainText({ max: 600 }, { description: 'The account, by its key.' })
  account: string;

  @IsOneOf(['stock', 'nominal'])
  side: 'stock' | 'nominal';

  @IsPlainText({ max: 60 })
  kind: string;

  @Nested(() => Litres)
  litres: Litres;

  @Nested(() => Litres)
  fermented: Litres;

  @Nested(() => Litres)
  added: Litres;
}

export class DifferenceOperation {
  @IsId()
  operationId: string;

  @IsId()
  premisesId: string;

  @NestedList(() => DifferenceLine, { max: 20_000 })
  postings: DifferenceLine[];
}

export class DifferenceAnswer {
  @IsFlag({ description: 'Nothing was stored, and the ids exist only in this answer.' })
  preview: boolean;

  @IsId({ description: 'The operation that was wrong.' })
  corrects: string;

  @IsPlainText({ max: 60 })
  kindCorrected: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsId({ description: 'The closed period of the mistake. The change is posted now, to the account `earlier-period`.' })
  earlierPeriodId?: string;

  @Optional()
  @IsQuantityOf('volume', { units: ['L'] }, { description: 'Right value minus wrong value.' })
  volumeChange?: WireQuantity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Right value minus wrong value, % vol.' })
  strengthChange?: WireQuantity;

  @NestedList(() => DifferenceOperation, { max: 1000 }, { description: 'One for each premises.' })
  operations: DifferenceOperation[];

  @NestedList(() => AffectedStock, { max: 20_000 }, { description: 'Stock that changes.' })
  inStock: AffectedStock[];

  @NestedList(
    () => AffectedOutflow,
    { max: 20_000 },
    {
      description:
        'Liquid and goods that are no longer in stock. Losses and measurements are corrected where their period is open; goods are shown only.',
    },
  )
  outflows: AffectedOutflow[];

  @NestedList(() => RestatedFinding, { max: 20_000 })
  findings: RestatedFinding[];
}
