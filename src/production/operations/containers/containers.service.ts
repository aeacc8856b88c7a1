import { Injectable } from '@nestjs/common';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Page } from '../../../platform/pagination.js';
import { decodeCursor, filteredList, pageOf } from '../../../platform/pagination.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { referenced } from '../../shared/references.js';
import { containerRows } from './container-events.js';
import { ContainerReader } from './container.reader.js';
import type { ContainerQuery, Container, EmptiesAnswer, NewEmpties } from './containers.dto.js';
import { toContainer } from './containers.dto.js';
import { eventsOf } from './container-states.js';

/** Containers with serials: where each is, and those that come back empty. */
@Injectable()
export class ContainersService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly events: EventWriter,
    private readonly containers: ContainerReader,
  ) {}

  async list(ctx: RequestContext, query: ContainerQuery): Promise<Page<Container>> {
    const { cursor, limit, state, ...filter } = query;
    const list = filteredList('containers', query);
    const after = cursor === undefined ? '' : String(decodeCursor(list, cursor, ['string'])[0]);
    const wanted = { ...filter, ...(state === undefined ? {} : { events: eventsOf(state) }) };
    const rows = await this.database.read(ctx, (tx) =>
      this.containers.page(tx, ctx.producerId, wanted, after, limit + 1),
    );
    return pageOf(list, rows, limit, ({ serial }) => [serial], toContainer);
  }

  /** Posts no litres: the contents left the books before. */
  returnEmpties(ctx: RequestContext, body: NewEmpties): Promise<Answer<EmptiesAnswer>> {
    const { premisesId, serials } = body;
    return this.events.write(ctx, body, {
      read: (tx) => referenced(tx, ctx.producerId, 'premises', premisesId, '/premisesId'),
      plan: (_, head) => ({
        batch: {
          action: 'containers.return-empties',
          ...booksOf(
            new OperationDraft({
              ...head,
              kind: 'empties-return',
              timing: 'draw',
              premisesId,
              keyId: ctx.principalId,
              document: { serials },
            }),
          ),
          rows: { containerEvent: containerRows(serials, { operationId: head.id, event: 'came-empty' }) },
        },
        answer: new Answer(201, { operationId: head.id, occurredAt: head.occurredAt.toISOString(), serials }),
      }),
    });
  }
}
