import { ApiProperty } from '@nestjs/swagger';
import type { Gravity } from '../../alcoholometry/liquids/gravity-scales.js';
import { Litres } from '../../ledger/books/litres.dto.js';
import type { Quantity } from '../../metrology/units.js';
import { Field, Nested, NestedList, Optional } from '../../platform/validation/field.js';
import {
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../platform/validation/fields.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { exactGravityRule } from './exact-gravity.js';

const CONTENT_STATES = ['empty', 'fermenting', 'terminal', 'finished', 'packed'] as const;
export type ContentState = (typeof CONTENT_STATES)[number];

const STATE =
  '`fermenting`: no strength of record yet; `terminal`: the same, and the gravity stands still by the producer’s rule; `finished`: with a strength of record.';

export const NEXT_CODES = ['process-step', 'gravity-reading', 'finding-of-record'] as const;

/** The thing to be done next with a liquid. */
export class NextThing {
  @IsOneOf(NEXT_CODES)
  code: (typeof NEXT_CODES)[number];

  @IsPlainText({ max: 300 }, { example: 'Take a gravity.' })
  detail: string;

  @Optional()
  @IsInstant({ description: 'Left out where it has no time.' })
  dueAt?: string;
}

export class LastReading {
  @IsId()
  readingId: string;

  @IsPlainText({ max: 40 }, { example: 'gravity' })
  kind: string;

  @Optional()
  @Field(exactGravityRule, { description: 'Of a gravity, as read.' })
  gravity?: Gravity;

  @IsInstant()
  takenAt: string;

  @IsQuantityOf('time', {}, { description: 'Hours since then.', example: { value: 14.5, unit: 'h' } })
  age: Quantity;
}

/** Liquid of one composition in one vessel, by the balances of the books. */
export class Liquid {
  @IsId()
  compositionId: string;

  @IsOneOf(CONTENT_STATES, { description: STATE })
  state: ContentState;

  @ApiProperty({ type: Litres })
  volume: Litres;

  @ApiProperty({ type: Litres, description: 'Litres of pure alcohol in the books; of a ferment, those found so far.' })
  pureAlcohol: Litres;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Of the finding that counts now, % vol; left out before the first.' })
  strength?: Quantity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Expanded uncertainty of the strength at 95 %, % vol.' })
  expandedUncertainty?: Quantity;

  @Optional()
  @IsOneOf(['of-record', 'provisional'], { description: 'Standing of that finding.' })
  standing?: string;

  @Optional()
  @Nested(() => LastReading)
  lastReading?: LastReading;

  @Optional()
  @Nested(() => NextThing)
  next?: NextThing;
}

export class LiquidOfLot extends Liquid {
  @IsId()
  lotId: string;

  @IsPlainText({ max: 40 })
  lotCode: string;

  @IsPlainText({ max: 60 })
  category: string;
}

/** Contents of a vessel now. */
export class VesselContents {
  @IsOneOf(CONTENT_STATES, { description: `\`empty\`, or the state of the liquid. ${STATE}` })
  state: ContentState;

  @Optional()
  @Nested(() => LiquidOfLot)
  liquid?: LiquidOfLot;
}

export class LiquidInVessel extends Liquid {
  @IsId()
  vesselId: string;

  @IsPlainText({ max: 80 })
  vesselName: string;
}

export class PackedStock {
  @IsWholeNumber({ min: 0, max: 2147483647 }, { description: 'Whole containers in stock.' })
  count: number;

  @ApiProperty({ type: Litres })
  volume: Litres;

  @ApiProperty({ type: Litres, description: 'Litres of pure alcohol.' })
  pureAlcohol: Litres;
}

/** Liquid and containers of a lot that are in stock now. */
export class LotContents {
  @IsOneOf(CONTENT_STATES, {
    description: `That of its liquid, the least advanced first; \`packed\` where only containers are in stock; else \`empty\`. ${STATE}`,
  })
  state: ContentState;

  @NestedList(() => LiquidInVessel, { max: 1000 })
  liquids: LiquidInVessel[];

  @Optional()
  @Nested(() => PackedStock)
  packed?: PackedStock;
}

/** Reads what is in vessels and what there is of lots now. Each call takes a fixed number of queries, whatever the number of ids. */
export abstract class ContentsReader {
  abstract ofVessels(tx: Tx, producerId: string, ids: readonly string[]): Promise<ReadonlyMap<string, VesselContents>>;
  abstract ofLots(tx: Tx, producerId: string, ids: readonly string[]): Promise<ReadonlyMap<string, LotContents>>;
}
