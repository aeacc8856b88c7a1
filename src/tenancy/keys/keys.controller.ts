import { Controller, HttpCode, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { PageQuery } from '../../platform/pagination.js';
import { Current } from '../access/current.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { IssuedKey, KeyPage, ApiKey, NewKey } from './keys.dto.js';
import { ResourceController } from '../settings/resource.controller.js';
import { KeysService } from './keys.service.js';

@Controller('v1/keys')
export class KeysController extends ResourceController({
  one: 'Key',
  many: 'Keys',
  read: 'keys:write',
  write: 'keys:write',
  list: { summary: 'List the keys, without their secrets', query: PageQuery, page: KeyPage },
  get: { summary: 'One key, without its secret', answer: ApiKey },
  create: {
    summary: 'Issue a key',
    description:
      'The key is shown in this answer and never again; only a hash of it is kept. A replay of the request answers without it.',
    body: NewKey,
    answer: IssuedKey,
  },
}) {
  constructor(protected readonly service: KeysService) {
    super();
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
    return this.service.revoke(ctx, id);
  }
}
