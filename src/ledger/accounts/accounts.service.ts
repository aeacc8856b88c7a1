import { Injectable } from '@nestjs/common';
import type { Page } from '../../platform/pagination.js';
import { decodeCursor, pageOf } from '../../platform/pagination.js';
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

  async list(ctx: RequestContext, { cursor, limit, ...filter }: AccountQuery): Promise<Page<Account>> {
    const after = cursor === undefined ? '' : String(decodeCursor('accounts', cursor, ['string'])[0]);
    const rows = await this.database.read(ctx, (tx) =>
      this.accounts.page(tx, ctx.producerId, filter, after, limit + 1),
    );
    return pageOf('accounts', rows, limit, (row) => [row.account], toAccount);
  }
}
