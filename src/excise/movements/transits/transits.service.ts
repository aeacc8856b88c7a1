import { Injectable } from '@nestjs/common';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Page } from '../../../platform/pagination.js';
import { filteredList, idCursor, pageOf } from '../../../platform/pagination.js';
import { requireSerialEach } from '../../../production/operations/containers/container-events.js';
import { malformed, referencedInUse } from '../../../production/shared/references.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { goodsOf, isPacked } from '../goods.js';
import { MovementSources } from '../movement-source.js';
import { SentReader } from './sent.reader.js';
import { TransitReader, toTransit } from './transit.reader.js';
import { arrivalPlan, sendPlan } from './transit-plan.js';
import type { NewArrival, NewTransit, TransitQuery, Transit } from './transits.dto.js';

/** Goods from one premises to another, packed or in bulk: the sender's stock until they arrive, what does not arrive the sender's loss. */
@Injectable()
export class TransitsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly events: EventWriter,
    private readonly transits: TransitReader,
    private readonly sources: MovementSources,
    private readonly sent: SentReader,
  ) {}

  async list(ctx: RequestContext, query: TransitQuery): Promise<Page<Transit>> {
    const { cursor, limit, ...filter } = query;
    const list = filteredList('transits', query);
    const after = idCursor(list, cursor);
    const rows = await this.database.read(ctx, (tx) =>
      this.transits.page(tx, ctx.producerId, filter, after, limit + 1),
    );
    return pageOf(list, rows, limit, ({ id }) => [id], toTransit);
  }

  async get(ctx: RequestContext, id: string): Promise<Transit> {
    const row = await this.database.read(ctx, (tx) => this.transits.row(tx, ctx.producerId, id));
    return row === undefined ? notFound() : toTransit(row);
  }

  send(ctx: RequestContext, body: NewTransit): Promise<Answer<Transit>> {
    const { packagedLotId, count, lotId, vesselId, volume, dutyStatus } = body;
    const goods = goodsOf({
      packagedLotId,
      count,
      lotId,
      vesselId,
      volume,
      dutyStatus,
      premisesId: body.fromPremisesId,
    });
    if (isPacked(goods) && goods.count === undefined) {
      throw malformed({ pointer: '/count', rule: 'required', detail: 'Packed goods are sent by count.' });
    }
    requireSerialEach(body.serials, count ?? 0);
    return this.events.write(ctx, body, {
      read: async (tx, { occurredAt }) => {
        await referencedInUse(tx, ctx.producerId, 'premises', body.toPremisesId, '/toPremisesId');
        const asked = { occurredAt, explains: undefined };
        const source = await this.sources.of(tx, ctx.producerId, goods, asked);
        if (!isPacked(goods)) {
          await this.sent.requireFinished(tx, ctx.producerId, source.subject.compositionId);
        }
        return source;
      },
      plan: (source, head) => sendPlan(ctx, body, head, source),
    });
  }

  arrive(ctx: RequestContext, id: string, body: NewArrival): Promise<Answer<Transit>> {
    return this.events.write(ctx, body, {
      read: (tx) => this.sent.of(tx, ctx.producerId, id, body),
      plan: (read, head) => arrivalPlan(ctx, body, head, read),
    });
  }
}
