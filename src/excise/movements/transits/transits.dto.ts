import { ApiProperty } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { DayQuery } from '../../../platform/pagination.js';
import { Nested, Optional } from '../../../platform/validation/field.js';
import {
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
import { Evidence } from '../movements.dto.js';
import { EventBody } from '../../../production/shared/event.dto.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';

const MOST_CONTAINERS = 100_000_000;
const DUTY_STATUSES = ['suspended', 'paid'] as const;
const VOLUME = { min: 0, aboveMin: true, max: 999_999_999, maxDecimals: 6 };
const TRANSIT_STATES = ['on-the-way', 'arrived', 'reversed'] as const;
export type TransitState = (typeof TRANSIT_STATES)[number];

export class NewTransit extends EventBody {
  @Optional()
  @IsId({ description: 'What was packed; with `count`.' })
  packagedLotId?: string;

  @Optional()
  @IsWholeNumber({ min: 1, max: MOST_CONTAINERS }, { description: 'Containers that were sent.', example: 48 })
  count?: number;

  @Optional()
  @IsId({ description: 'In bulk: the lot; with `vesselId` and `volume`. A finding of record is needed.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'In bulk: the vessel that it came from.' })
  vesselId?: string;

  @Optional()
  @IsQuantityOf('volume', VOLUME, { description: 'In bulk: as measured, at 20 °C.' })
  volume?: WireQuantity;

  @Optional()
  @IsOneOf(DUTY_STATUSES, { description: 'Of packed goods: suspended (the default), or duty paid and kept apart.' })
  dutyStatus?: (typeof DUTY_STATUSES)[number];

  @Optional()
  @IsId({ description: 'Where packed goods stand; the premises where they were packed if left out.' })
  fromPremisesId?: string;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    {
      description: 'Which containers, where they were filled with serials: one for each.',
      example: ['K-017', 'K-018'],
    },
  )
  serials?: string[];

  @IsId({ description: 'Where they are going.' })
  toPremisesId: string;

  @IsPlainText({ max: 120 }, { description: 'Number of the document that goes with the goods.', example: 'DOC-0007' })
  document: string;
}

export class NewArrival extends EventBody {
  @Optional()
  @IsWholeNumber(
    { min: 0, max: MOST_CONTAINERS },
    { description: 'Of packed goods: containers that arrived; the rest is lost.' },
  )
  count?: number;

  @Optional()
  @IsListOf(
    textRule({ max: 60 }),
    { min: 1, max: MOST_SERIALS, unique: true },
    { description: 'Which containers arrived, where they were sent by serial.', example: ['K-017', 'K-018'] },
  )
  serials?: string[];

  @Optional()
  @IsQuantityOf(
    'volume',
    { ...VOLUME, aboveMin: false },
    { description: 'Of bulk: what arrived, at 20 °C; the rest is lost.' },
  )
  volume?: WireQuantity;

  @Optional()
  @IsId({ description: 'Of bulk: the lot of the receiving premises that it belongs to from now on.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'Of bulk: the empty vessel that it went into.' })
  vesselId?: string;

  @Optional()
  @IsLossReason({ description: 'Why fewer arrived than were sent; needed then.', example: 'breakage' })
  reasonCode?: string;

  @Optional()
  @Nested(() => Evidence, { description: 'Of a loss: `report` is needed for a theft.' })
  evidence?: Evidence;
}

export class TransitQuery extends DayQuery {
  @Optional()
  @IsId({ description: 'Only those from or to these premises.' })
  premisesId?: string;

  @Optional()
  @IsId({ description: 'Only those of this lot, packed or in bulk.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'Only those of this packaged lot.' })
  packagedLotId?: string;

  @Optional()
  @IsOneOf(TRANSIT_STATES, { description: '`on-the-way` are those that never arrived so far.' })
  state?: TransitState;
}

export class TransitArrival {
  @IsId()
  operationId: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsWholeNumber({ min: 0, max: MOST_CONTAINERS })
  count?: number;

  @Optional()
  @IsId({ description: 'Of bulk: the composition that it is from now on, with the strength that it had.' })
  compositionId?: string;

  @ApiProperty({ type: Litres, description: 'What was lost on the way.' })
  loss: Litres;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;
}

export class Transit {
  @IsId({ description: 'The operation that sent them.' })
  id: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @IsId()
  lotId: string;

  @IsId()
  compositionId: string;

  @IsOneOf(DUTY_STATUSES)
  dutyStatus: string;

  @IsId()
  fromPremisesId: string;

  @IsId()
  toPremisesId: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsWholeNumber({ min: 1, max: MOST_CONTAINERS })
  count?: number;

  @ApiProperty({ type: Litres })
  litres: Litres;

  @IsPlainText({ max: 120 })
  document: string;

  @IsOneOf(TRANSIT_STATES, { description: '`on-the-way` until an arrival is entered.' })
  state: TransitState;

  @Optional()
  @ApiProperty({ type: TransitArrival })
  arrival?: TransitArrival;
}

export class TransitPage extends ListOf(Transit) {}
