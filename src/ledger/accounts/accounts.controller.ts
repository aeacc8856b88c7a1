import { Controller, Get, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented } from '../../platform/openapi/documented.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../../tenancy/access/current.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { AccountPage, AccountQuery, Account } from './accounts.dto.js';
import { AccountsService } from './accounts.service.js';

@Controller('v1/accounts')
export class AccountsController {
  constructor(private readonly accounts: AccountsService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Books',
    id: 'listAccounts',
    summary: 'Stock accounts and what stands on them now',
    description: 'What is where: liquid of a composition in a vessel, material lots with alcohol, packaged lots.',
    ok: AccountPage,
    problems: ['cursor-malformed', 'validation-failed'],
  })
  list(@Current() ctx: RequestContext, @Query() query: AccountQuery): Promise<Page<Account>> {
    return this.accounts.list(ctx, query);
  }
}
