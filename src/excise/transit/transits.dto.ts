import { ApiProperty } from '@nestjs/swagger';
import { Litres } from '../../ledger/books/litres.dto.js';
import { ListOf } from '../../platform/openapi/list-of.js';
import { PageQuery } from '../../platform/pagination.js';
import { Optional } from '../../platform/validation/field.js';
import { IsId, IsInstant, IsOneOf, IsPattern, IsPlainText, IsWholeNumber } from '../../platform/validation/fields.js';
import { EventBody } from '../../production/event.dto.js';

const MOST_CONTAINERS = 100_000_000;
export const TRANSIT_STATES = ['on-the-way', 'arrived', 'reversed'] as const;
export type TransitState = (typeof TRANSIT_STATES)[number];

export class NewTransit extends EventBody {
  @IsId()
  packagedLotId: string;

  @IsWholeNumber({ min: 1, max: MOST_CONTAINERS }, { description: 'Containers that were sent.', example: 48 })
  count: number;

  @Optional()
  @IsId({ description: 'Where the goods stand; the premises where they were packed if left out.' })
  fromPremisesId?: string;

  @IsId({ description: 'Where they are going.' })
  toPremisesId: string;

  @IsPlainText({ max: 120 }, { description: 'Number of the document that goes with the goods.', example: 'DOC-0007' })
  document: string;
}

export class NewArrival extends EventBody {
  @IsWholeNumber({ min: 0, max: MOST_CONTAINERS }, { description: 'Containers that arrived; the rest is lost.' })
  count: number;

  @Optional()
  @IsPattern(
    /^[a-z0-9]+(-[a-z0-9]+)*$/,
    'a code of small letters, digits and hyphens',
    { max: 60 },
    { description: 'Why fewer arrived than were sent; needed then.', example: 'broken' },
  )
  reasonCode?: string;
}

export class TransitQuery extends PageQuery {
  @Optional()
  @IsOneOf(TRANSIT_STATES, { description: '`on-the-way` are those that never arrived so far.' })
  state?: TransitState;
}

export class TransitArrival {
  @IsId()
  operationId: string;

  @IsInstant()
  occurredAt: string;

  @IsWholeNumber({ min: 0, max: MOST_CONTAINERS })
  count: number;

  @ApiProperty({ type: Litres, description: 'What was lost on the way.' })
  loss: Litres;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;
}

export class TransitWire {
  @IsId({ description: 'The operation that sent them.' })
  id: string;

  @IsId()
  packagedLotId: string;

  @IsId()
  fromPremisesId: string;

  @IsId()
  toPremisesId: string;

  @IsInstant()
  occurredAt: string;

  @IsWholeNumber({ min: 1, max: MOST_CONTAINERS })
  count: number;

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

export class TransitPage extends ListOf(TransitWire) {}
