import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Figures, Litres } from '../../../ledger/books/litres.dto.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { DayQuery } from '../../../platform/pagination.js';
import { NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { MOST_SERIALS } from '../../../production/operations/containers/container-events.js';
import { IsLossReason } from '../../../tenancy/reasons/reason-codes.dto.js';
import { EventBody } from '../../../production/shared/event.dto.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';

import { Judgement } from '../judgement.js';

const DUTY_STATUSES = ['suspended', 'paid'] as const;
const MOST_CONTAINERS = 100_000_000;

/** One product as it was found: containers counted, or a vessel measured by dip, sight glass or weight. */
export class ProductCount {
  @Optional()
  @IsId({ description: 'What was packed; with `count`.' })
  packagedLotId?: string;

  @Optional()
  @IsWholeNumber({ min: 0, max: MOST_CONTAINERS }, { description: 'Full containers that were there.', example: 240 })
  count?: number;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    {
      description:
        'Which containers were there, where they were filled with serials: one for each of the count. Those that were not there are missing.',
      example: ['K-017', 'K-018'],
    },
  )
  serials?: string[];

  @Optional()
  @IsOneOf(DUTY_STATUSES, { description: 'Of packed goods; suspended if left out.' })
  dutyStatus?: (typeof DUTY_STATUSES)[number];

  @Optional()
  @IsId({ description: 'In bulk: the lot; with `vesselId` and `volume`.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'In bulk: the vessel.' })
  vesselId?: string;

  @Optional()
  @IsId({ description: 'Spirit, a flavouring or a yeast crop that bears alcohol; with `volume`.' })
  materialLotId?: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 1_000_000, maxDecimals: 6 },
    {
      description:
        'In bulk and of a material lot: as read, at `temperature`. Beside `count`: what part-full containers hold, at 20 °C.',
      example: { value: 180, unit: 'L' },
    },
  )
  volume?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'temperature',
    { min: -5, max: 100, maxDecimals: 3 },
    { description: 'Of the liquid when it was read; 20 ± 5 °C is taken if left out.' },
  )
  temperature?: WireQuantity;

  @Optional()
  @IsId({ description: 'What it was read with; its calibration gives the uncertainty.' })
  instrumentId?: string;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of the volume; from the calibration, or ± 1 % rectangular, if left out.' },
  )
  standardUncertainty?: WireQuantity;

  @Optional()
  @IsLossReason({
    description: 'Why it differs from the books; without one the difference stands unexplained.',
    example: 'counting-error',
  })
  reasonCode?: string;

  @Optional()
  @IsPlainText(
    { max: 2000, multiline: true },
    { description: 'What was looked into and found; needed with the reason `other`. Kept outside the audit trail.' },
  )
  explanation?: string;

  @Optional()
  @IsId({ description: 'The person who looked into the difference.' })
  investigatedBy?: string;
}

/** A shortage and a surplus of one stock-take that are shown to be related. */
export class NewOffset {
  @IsWholeNumber({ min: 0, max: 499 }, { description: 'Place of the count that is short, from 0.', example: 0 })
  shortage: number;

  @IsWholeNumber({ min: 0, max: 499 }, { description: 'Place of the count that is over, from 0.', example: 1 })
  surplus: number;

  @IsPlainText(
    { max: 500 },
    {
      description: 'Why the two belong together, about goods and never about people.',
      example: 'Two cases of lot A stood under the mark of lot B.',
    },
  )
  reason: string;
}

/** The part of a difference that is set off against another of the same stock-take. */
export class StockOffset {
  @IsId({ description: 'The count that it is set off against.' })
  operationId: string;

  @ApiProperty({ type: Litres, description: 'The smaller of the two differences.' })
  litres: Litres;

  @IsPlainText({ max: 500 })
  reason: string;
}

export class NewStockTake extends EventBody {
  @IsId()
  premisesId: string;

  @NestedList(
    () => ProductCount,
    { min: 1, max: 500 },
    { description: 'Each product once. Differences are not netted against each other, but for `offsets`.' },
  )
  counts: ProductCount[];

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the count sheet.', example: 'SHEET-0007' })
  countSheet?: string;

  @Optional()
  @NestedList(
    () => NewOffset,
    { min: 1, max: 250 },
    {
      description:
        'Pairs of a shortage and a surplus that are shown to be related, each with its reason in writing. Only with the setting `allowStockOffsets`. Both differences stay in the books; the shortage counts that much less as chargeable.',
    },
  )
  offsets?: NewOffset[];
}

export class StockTakeQuery extends DayQuery {
  @Optional()
  @IsId({ description: 'Only those at these premises.' })
  premisesId?: string;
}

/** One product beside the book figure of its moment. */
export class CountedProduct {
  @IsId({ description: 'The operation that posted the difference; what later `explains` it names this one.' })
  operationId: string;

  @Optional()
  @IsId({ description: 'Of packed goods and of bulk.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'Of packed goods and of bulk.' })
  compositionId?: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @Optional()
  @IsId({ description: 'Instead of lot and composition, where it was a material lot.' })
  materialLotId?: string;

  @Optional()
  @IsId()
  vesselId?: string;

  @IsPlainText({ max: 120 })
  category: string;

  @Optional()
  @IsOneOf(['paid'], { description: 'Only where duty had been paid on the goods.' })
  dutyStatus?: string;

  @Optional()
  @IsWholeNumber({ min: 0, max: MOST_CONTAINERS })
  count?: number;

  @ApiProperty({ type: Litres, description: 'What the books held at the moment.' })
  book: Litres;

  @ApiProperty({ type: Litres, description: 'What was there, at 20 °C.' })
  counted: Litres;

  @ApiProperty({ type: Litres, description: 'Counted less book, as it was posted.' })
  difference: Litres;

  @ApiProperty({ type: Litres, description: 'Pure alcohol of the difference, at the strength of the books.' })
  differenceOfPureAlcohol: Litres;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true }, { description: 'Not in the answer to the entry itself.' })
  explanation?: string;

  @ApiPropertyOptional({ type: Judgement, description: 'Of a difference: against its own uncertainty.' })
  judgement?: Judgement;

  @Optional()
  @IsId({ description: 'Who looked into it.' })
  investigatedBy?: string;

  @ApiPropertyOptional({ type: StockOffset, description: 'Set off against another count, where that was said.' })
  offset?: StockOffset;

  @IsFlag({ description: 'Nothing differed, or a reason was given.' })
  explained: boolean;

  @Optional()
  @IsFlag({ description: 'It was reversed: it counts no more.' })
  reversed?: boolean;
}

export class StockTake {
  @IsId()
  id: string;

  @IsId()
  premisesId: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsInstant({ description: 'When it was entered; not in the answer to the entry itself.' })
  recordedAt?: string;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the count sheet.' })
  countSheet?: string;

  @ApiProperty({ type: [CountedProduct] })
  counts: CountedProduct[];
}

export class StockTakePage extends ListOf(StockTake) {}

/** A difference of a stock-take that stands in a period's report. */
export class StockDifference extends Figures {
  @IsId()
  operationId: string;

  @IsId()
  stockTakeId: string;

  @IsInstant()
  occurredAt: string;

  @IsPlainText({ max: 120 })
  category: string;

  @IsPlainText({ max: 200 })
  product: string;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @IsFlag({ description: 'A reason was given, or what later explained it leaves no difference.' })
  explained: boolean;

  @Optional()
  @IsId({ description: 'Who looked into it, where that was said.' })
  investigatedBy?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the count sheet.' })
  countSheet?: string;

  @ApiProperty({ type: Litres, description: 'Book figure of the moment, before what explained it since.' })
  book: Litres;

  @ApiProperty({ type: Litres, description: 'What was there, at 20 °C.' })
  counted: Litres;

  @ApiPropertyOptional({
    type: StockOffset,
    description: 'Set off against another count; absent where nothing was netted.',
  })
  offset?: StockOffset;

  @ApiProperty({ type: Judgement, description: 'Against its own uncertainty.' })
  judgement: Judgement;

  @IsPlainText({ max: 200 }, { description: 'Where the operations behind the figure are.' })
  operations: string;
}
