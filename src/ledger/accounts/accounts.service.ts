import { Injectable } from '@nestjs/common';
import type { Page } from '../../platform/pagination.js';
import { decodeCursor, filteredList, pageOf } from '../../platform/pagination.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import type { AccountQuery, Account } from './accounts.dto.js';
import { toAccount } from './accounts.dto.js';
import { AccountsReader } from './accounts.reader.js';

/** Shows where stock stands. */
@Injectable()
export class AccountsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly accounts: AccountsReader,
  ) {}

  async list(ctx: RequestContext, query: AccountQuery): Promise<Page<Account>> {
    const { cursor, limit, ...filter } = query;
    const list = filteredList('accounts', query);
    const after = cursor === undefined ? '' : String(decodeCursor(list, cursor, ['string'])[0]);
    const rows = await this.database.read(ctx, (tx) =>
      this.accounts.page(tx, ctx.producerId, filter, after, limit + 1),
    );
    return pageOf(list, rows, limit, (row) => [row.account], toAccount);
  }
}
