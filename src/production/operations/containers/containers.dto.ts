import { ApiProperty } from '@nestjs/swagger';
import { Litres, toLitres } from '../../../ledger/books/litres.dto.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { PageQuery } from '../../../platform/pagination.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsId, IsInstant, IsListOf, IsOneOf, IsPlainText } from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';
import { EventBody } from '../../shared/event.dto.js';
import type { ContainerEvent } from './container-events.js';
import type { ContainerState } from './container-states.js';
import { CONTAINER_STATES, STATES } from './container-states.js';
import { CONTAINER_EVENTS, MOST_SERIALS } from './container-events.js';
import type { ContainerRow } from './container.reader.js';

const SERIAL = { max: 60 };
export class NewEmpties extends EventBody {
  @IsId({ description: 'Where they came back to.' })
  premisesId: string;

  @IsListOf(
    textRule(SERIAL),
    { min: 1, max: MOST_SERIALS, unique: true },
    {
      description: 'Containers that came back empty; one that is not known yet is so from now on.',
      example: ['K-017'],
    },
  )
  serials: string[];
}

export class EmptiesAnswer {
  @IsId()
  operationId: string;

  @IsInstant()
  occurredAt: string;

  @IsListOf(textRule(SERIAL), { max: MOST_SERIALS })
  serials: string[];
}

export class ContainerQuery extends PageQuery {
  @Optional()
  @IsPlainText(SERIAL, { description: 'Only this one.' })
  serial?: string;

  @Optional()
  @IsOneOf(CONTAINER_STATES, { description: 'Only those in this state.' })
  state?: ContainerState;

  @Optional()
  @IsId({ description: 'Only those whose last event was at these premises.' })
  premisesId?: string;

  @Optional()
  @IsId({ description: 'Only those that hold it, or went out with it.' })
  packagedLotId?: string;
}

export class Container {
  @IsPlainText(SERIAL)
  serial: string;

  @IsOneOf(CONTAINER_STATES, {
    description: 'Full or part full in stock, on the way between premises, out, empty, or missing by a stock-take.',
  })
  state: ContainerState;

  @IsOneOf(CONTAINER_EVENTS, { description: 'The last that happened to it.' })
  event: ContainerEvent;

  @IsId({ description: 'Where that happened.' })
  premisesId: string;

  @IsInstant({ description: 'When.' })
  since: string;

  @IsId()
  operationId: string;

  @Optional()
  @IsId({ description: 'What it holds, or went out with.' })
  packagedLotId?: string;

  @Optional()
  @ApiProperty({ type: Litres, description: 'What it was filled with, or came back with.' })
  litres?: Litres;

  @Optional()
  @IsPlainText(
    { max: 200 },
    { description: 'Who received it or sent it back; empty once the person’s data were erased.' },
  )
  counterparty?: string;
}

export class ContainerPage extends ListOf(Container) {}

export const toContainer = (row: ContainerRow): Container => ({
  serial: row.serial,
  state: STATES[row.event],
  event: row.event,
  premisesId: row.premisesId,
  since: row.occurredAt.toISOString(),
  operationId: row.operationId,
  ...given({ packagedLotId: row.packagedLotId, counterparty: row.counterparty }),
  ...(row.litres === null ? {} : { litres: toLitres(row.litres) }),
});
