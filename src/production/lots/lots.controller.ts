import { Body, Controller, Get, Headers, Param, Patch, Post, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../../tenancy/access/current.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { tagged } from '../../tenancy/settings/tagged.js';
import { LotChange, LotPage, LotQuery, Lot, NewLot } from './lots.dto.js';
import { LotsService } from './lots.service.js';

@Controller('v1/lots')
export class LotsController {
  constructor(private readonly lots: LotsService) {}

  @Get()
  @Access('read')
  @Documented({ tag: 'Lots', id: 'listLots', summary: 'List the lots', ok: LotPage })
  list(@Current() ctx: RequestContext, @Query() query: LotQuery): Promise<Page<Lot>> {
    return this.lots.list(ctx, query);
  }

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'createLot',
    summary: 'Begin a lot',
    description: 'A lot is liquid with one history. It may be made from a version of a recipe, or from none.',
    created: Lot,
    problems: ['not-found', 'out-of-range', 'already-exists', 'conflict'],
  })
  create(@Current() ctx: RequestContext, @Body() body: NewLot): Promise<Answer<Lot>> {
    return this.lots.create(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Lots', id: 'getLot', summary: 'One lot, with its ETag', ok: Lot })
  async get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<Lot>> {
    return tagged(await this.lots.get(ctx, id));
  }

  @Patch(':id')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'changeLot',
    summary: 'Retire a lot, or bring it back',
    description: 'Needs If-Match with the ETag that was read. A lot that is still in stock is not retired.',
    ok: Lot,
    ifMatch: true,
    problems: ['precondition-required', 'precondition-failed', 'in-use'],
  })
  change(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Headers('if-match') ifMatch: string | undefined,
    @Body() body: LotChange,
  ): Promise<Answer<Lot>> {
    return this.lots.change(ctx, id, ifMatch, body);
  }
}
