import { Injectable } from '@nestjs/common';
import type { Page } from '../../platform/pagination.js';
import { decodeCursor, filteredList, pageOf } from '../../platform/pagination.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import type { OperationQuery, Operation } from './operations.dto.js';
import { toOperation } from './operations.dto.js';
import { OperationsReader } from './operations.reader.js';

/** Shows the operations of the books. Each is written by the feature that records the event. */
@Injectable()
export class OperationsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly operations: OperationsReader,
  ) {}

  async list(ctx: RequestContext, query: OperationQuery): Promise<Page<Operation>> {
    const { cursor, limit, ...filter } = query;
    const list = filteredList('operations', query);
    const after = cursor === undefined ? 0 : Number(decodeCursor(list, cursor, ['number'])[0]);
    const { rows, postings } = await this.database.read(ctx, async (tx) => {
      const rows = await this.operations.page(tx, ctx.producerId, filter, after, limit + 1);
      const sequences = rows.map(({ sequence }) => sequence);
      return { rows, postings: await this.operations.postings(tx, ctx.producerId, sequences) };
    });
    return pageOf(
      list,
      rows,
      limit,
      (row) => [Number(row.sequence)],
      (row) => toOperation(row, postings),
    );
  }

  get(ctx: RequestContext, id: string): Promise<Operation> {
    return this.database.read(ctx, async (tx) => {
      const row = (await this.operations.row(tx, ctx.producerId, id)) ?? notFound();
      const postings = await this.operations.postings(tx, ctx.producerId, [row.sequence]);
      return toOperation(row, postings, await this.operations.components(tx, ctx.producerId, row.sequence));
    });
  }
}
