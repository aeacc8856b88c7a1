import { ApiProperty } from '@nestjs/swagger';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../platform/validation/fields.js';
import { idRule } from '../../platform/validation/text-rules.js';
import { RECEIPT_KINDS } from '../operations/receipts/receipts.dto.js';
import { DocumentReference } from '../shared/document.dto.js';
import type { Quantity } from '../../metrology/units.js';

const DIRECTIONS = ['backward', 'forward'] as const;
export type Direction = (typeof DIRECTIONS)[number];
const LONG = { max: 10_000 };
const MOST_COUNT = 1_000_000_000;

export class TraceQuery {
  @Optional()
  @IsOneOf(DIRECTIONS, { description: 'Where it came from (the default) or where it went.' })
  direction?: Direction;
}

export class RecallQuery {
  @Optional()
  @IsId({ description: 'A material lot: recalled is every packaged lot with liquid that it went into.' })
  materialLotId?: string;

  @Optional()
  @IsId({ description: 'A production lot.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'A packaged lot, and what was packed again from it.' })
  packagedLotId?: string;

  @Optional()
  @IsPlainText(
    { max: 60 },
    { description: 'A lot mark as it is on the containers: all packaged lots with it.', example: 'L-260301' },
  )
  lotMark?: string;

  @Optional()
  @IsPlainText({ max: 40 }, { description: 'The code of a production lot.', example: 'L-260301' })
  lotCode?: string;

  @Optional()
  @IsOneOf(['json', 'csv'], { description: 'JSON if left out.' })
  format?: 'json' | 'csv';
}

const SHARE = { min: 0, max: 1 };

export class TracedThing {
  @IsOneOf(['lot', 'packaged-lot', 'material-lot', 'lot-mark'])
  kind: 'lot' | 'packaged-lot' | 'material-lot' | 'lot-mark';

  @Optional()
  @IsId({ description: 'Of one lot. A lot mark can be of several packaged lots: they are listed.' })
  id?: string;

  @IsPlainText({ max: 120 }, { description: 'Code of the lot or material lot, or lot mark.' })
  code: string;
}

export class TracedLot {
  @IsId()
  lotId: string;

  @IsPlainText({ max: 120 })
  code: string;

  @IsDecimalNumber(SHARE, {
    description:
      'Backward: litres of that lot in a litre of what is traced. Forward: litres of what is traced in a litre of it.',
  })
  share: number;
}

export class TracedMaterialLot {
  @IsId()
  materialLotId: string;

  @IsPlainText({ max: 60 })
  code: string;

  @IsId()
  materialId: string;

  @IsPlainText({ max: 120 })
  material: string;

  @Optional()
  @IsPlainText({ max: 120 })
  supplier?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  supplierLot?: string;

  @Optional()
  @Nested(() => DocumentReference, { description: 'The document that came with it.' })
  document?: DocumentReference;

  @IsInstant()
  receivedAt: string;

  @IsDecimalNumber(SHARE, {
    description: 'Litres of liquid that the material went into, in a litre of what is traced.',
  })
  share: number;

  @Optional()
  @IsQuantityOf(
    'mass',
    { units: ['kg'] },
    { description: 'How much of it is in what is traced, where it went in by mass.' },
  )
  mass?: Quantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { units: ['L'] },
    { description: 'How much of it is in what is traced, where it went in by volume.' },
  )
  volume?: Quantity;
}

/** Drink that came in from others, in what is traced: one step back. */
export class TracedReceipt {
  @IsId({ description: 'The receipt.' })
  receiptId: string;

  @IsOneOf(RECEIPT_KINDS)
  kind: string;

  @IsId()
  lotId: string;

  @IsPlainText({ max: 120 })
  lotCode: string;

  @IsPlainText({ max: 120 })
  supplier: string;

  @Nested(() => DocumentReference)
  document: DocumentReference;

  @IsInstant()
  occurredAt: string;

  @IsDecimalNumber(SHARE, { description: 'Litres of its lot in a litre of what is traced.' })
  share: number;
}

export class Recipient {
  @IsId()
  operationId: string;

  @IsPlainText({ max: 60 }, { description: 'Kind of the movement.' })
  kind: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsWholeNumber({ min: 0, max: MOST_COUNT })
  count?: number;

  @IsQuantityOf('volume', { units: ['L'] })
  volume: Quantity;

  @Optional()
  @IsPlainText({ max: 2000 }, { description: 'Who received it, as the movement names them.' })
  counterparty?: string;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Number of the document that went with it.' })
  document?: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { units: ['L'] },
    {
      description:
        'What came back of it since: by returns that name it, else what this counterparty sent back, the oldest deliveries first.',
    },
  )
  returned?: Quantity;

  @Optional()
  @IsListOf(idRule, { max: 10_000 }, { description: 'Of a return: the movements by which the goods went out.' })
  returnOf?: string[];
}

export class TracedPackagedLot {
  @IsId()
  packagedLotId: string;

  @IsPlainText({ max: 120 })
  lotMark: string;

  @IsId()
  lotId: string;

  @IsPlainText({ max: 120 })
  lotCode: string;

  @IsPlainText({ max: 60 })
  container: string;

  @IsQuantityOf('volume', { units: ['L'] })
  nominalVolume: Quantity;

  @IsDateOnly()
  packagedOn: string;

  @IsDecimalNumber(SHARE, { description: 'Litres of what is traced in a litre of this packaged lot as it was filled.' })
  share: number;

  @IsDecimalNumber(SHARE, { description: 'Part of what is traced that was filled into this packaged lot.' })
  shareOfSource: number;

  @IsWholeNumber({ min: 0, max: MOST_COUNT })
  packed: number;

  @IsDecimalNumber(
    { min: 0 },
    { description: 'Containers in stock by the books; not whole where a part was drawn by volume.' },
  )
  onHand: number;

  @IsWholeNumber({ min: 0, max: MOST_COUNT }, { description: 'Containers released for consumption.' })
  released: number;

  @IsDecimalNumber({ min: 0 }, { description: 'Containers that came back.' })
  returned: number;

  @IsDecimalNumber(
    { min: 0 },
    {
      description:
        'Containers that were released, dispatched or exported and have neither come back nor been lost on the way.',
    },
  )
  outstanding: number;

  @NestedList(() => Recipient, LONG, {
    description: 'Those who received it, in the order of the books. Samples and losses have no recipient.',
  })
  recipients: Recipient[];

  @NestedList(() => Recipient, LONG, { description: 'What came back, and from whom.' })
  returns: Recipient[];
}

export class TracedVessel {
  @IsId()
  vesselId: string;

  @IsPlainText({ max: 120 })
  vessel: string;

  @IsId()
  compositionId: string;

  @IsQuantityOf('volume', { units: ['L'] }, { description: 'All that is in the vessel of this composition.' })
  volume: Quantity;

  @IsDecimalNumber(SHARE)
  share: number;
}

export class Trace {
  @Nested(() => TracedThing)
  of: TracedThing;

  @IsOneOf(DIRECTIONS)
  direction: Direction;

  @NestedList(() => TracedLot, LONG, { description: 'Lots that it came from, or that it went into.' })
  lots: TracedLot[];

  @NestedList(() => TracedMaterialLot, LONG, {
    description: 'Backward: material lots that are in it, with their suppliers.',
  })
  materialLots: TracedMaterialLot[];

  @NestedList(() => TracedReceipt, LONG, {
    description: 'Backward: drink received from others that is in it, with the suppliers.',
  })
  receipts: TracedReceipt[];

  @NestedList(() => TracedPackagedLot, LONG, { description: 'Forward: packaged lots that it is in, each once.' })
  packagedLots: TracedPackagedLot[];

  @NestedList(() => Recipient, LONG, { description: 'Forward: those who received bulk with some of it.' })
  bulk: Recipient[];

  @NestedList(() => TracedVessel, LONG, { description: 'Forward: vessels that hold some of it now.' })
  vessels: TracedVessel[];
}

export class Recall {
  @Nested(() => TracedThing)
  of: TracedThing;

  @ApiProperty({ type: String, format: 'date-time', description: 'When the list was made.' })
  asOf: string;

  @NestedList(() => TracedPackagedLot, LONG)
  packagedLots: TracedPackagedLot[];

  @NestedList(() => Recipient, LONG)
  bulk: Recipient[];

  @NestedList(() => TracedVessel, LONG)
  vessels: TracedVessel[];
}
