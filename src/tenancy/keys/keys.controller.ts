import { Body, Controller, Get, HttpCode, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { PageQuery } from '../../platform/pagination.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../access/current.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { IssuedKey, KeyPage, ApiKey, NewKey } from './keys.dto.js';
import { KeysService } from './keys.service.js';

@Controller('v1/keys')
export class KeysController {
  constructor(private readonly keys: KeysService) {}

  @Get()
  @Access('keys:write')
  @Documented({ tag: 'Keys', id: 'listKeys', summary: 'List the keys, without their secrets', ok: KeyPage })
  list(@Current() ctx: RequestContext, @Query() query: PageQuery): Promise<Page<ApiKey>> {
    return this.keys.list(ctx, query);
  }

  @Post()
  @Access('keys:write')
  @Documented({
    tag: 'Keys',
    id: 'createKey',
    summary: 'Issue a key',
    description:
      'The key is shown in this answer and never again; only a hash of it is kept. A replay of the request answers without it.',
    created: IssuedKey,
  })
  create(@Current() ctx: RequestContext, @Body() body: NewKey): Promise<Answer<IssuedKey>> {
    return this.keys.create(ctx, body);
  }

  @Get(':id')
  @Access('keys:write')
  @Documented({ tag: 'Keys', id: 'getKey', summary: 'One key, without its secret', ok: ApiKey })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<ApiKey> {
    return this.keys.get(ctx, id);
  }

  @Post(':id/revocation')
  @HttpCode(200)
  @Access('keys:write')
  @Documented({
    tag: 'Keys',
    id: 'revokeKey',
    summary: 'Revoke a key',
    description: 'The key is refused from the next request on. A revoked key stays listed and cannot be brought back.',
    ok: ApiKey,
    takesIdempotencyKey: true,
  })
  revoke(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<ApiKey>> {
    return this.keys.revoke(ctx, id);
  }
}
