import { Injectable } from '@nestjs/common';
import type { Page } from '../../platform/pagination.js';
import { decodeCursor, filteredList, pageOf } from '../../platform/pagination.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { MovementReader } from './movement.reader.js';
import { dutyPaidBy } from './duty-paid.js';
import { toMovement } from './movement.mapper.js';
import type { MovementQuery, Movement } from './movements.dto.js';

/** Answers what was moved. */
@Injectable()
export class MovementsQuery {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly movements: MovementReader,
  ) {}

  async list(ctx: RequestContext, query: MovementQuery): Promise<Page<Movement>> {
    const { cursor, limit, ...filter } = query;
    const list = filteredList('movements', query);
    const after = cursor === undefined ? 0 : Number(decodeCursor(list, cursor, ['number'])[0]);
    const rows = await this.database.read(ctx, (tx) =>
      this.movements.page(tx, ctx.producerId, filter, after, limit + 1),
    );
    return pageOf(list, rows, limit, (row) => [Number(row.sequence)], toMovement);
  }

  async get(ctx: RequestContext, id: string): Promise<Movement> {
    return this.database.read(ctx, async (tx) => {
      const row = (await this.movements.row(tx, ctx.producerId, id)) ?? notFound();
      const { packagedLotId } = row;
      if (row.kind !== 'destruction' || row.dutyStatus !== 'paid' || packagedLotId === null) {
        return toMovement(row);
      }
      const others = await this.movements.outAndBack(tx, ctx.producerId, packagedLotId);
      return { ...toMovement(row), dutyPaidBy: dutyPaidBy(row, others) };
    });
  }
}
