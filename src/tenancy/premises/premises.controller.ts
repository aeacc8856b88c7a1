import { Body, Controller, Get, Headers, Param, Patch, Post, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { PageQuery } from '../../platform/pagination.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../access/current.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { tagged } from '../settings/tagged.js';
import { NewPremises, PremisesChange, PremisesPage, toPremises, Premises } from './premises.dto.js';
import { PremisesService } from './premises.service.js';

@Controller('v1/premises')
export class PremisesController {
  constructor(private readonly premises: PremisesService) {}

  @Get()
  @Access('read')
  @Documented({ tag: 'Premises', id: 'listPremises', summary: 'List the licensed sites', ok: PremisesPage })
  list(@Current() ctx: RequestContext, @Query() query: PageQuery): Promise<Page<Premises>> {
    return this.premises.list(ctx, query);
  }

  @Post()
  @Access('settings:write')
  @Documented({
    tag: 'Premises',
    id: 'createPremises',
    summary: 'Add a licensed site',
    description:
      'Periods, lots and reports belong to premises. The time zone cannot be changed later: the periods rest on it.',
    created: Premises,
  })
  create(@Current() ctx: RequestContext, @Body() body: NewPremises): Promise<Answer<Premises>> {
    return this.premises.create(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Premises', id: 'getPremises', summary: 'One licensed site, with its ETag', ok: Premises })
  async get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<Premises>> {
    return tagged(toPremises(await this.premises.row(ctx, id)));
  }

  @Patch(':id')
  @Access('settings:write')
  @Documented({
    tag: 'Premises',
    id: 'changePremises',
    summary: 'Change or retire a licensed site',
    description: 'Needs If-Match with the ETag that was read.',
    ok: Premises,
    ifMatch: true,
  })
  change(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Headers('if-match') ifMatch: string | undefined,
    @Body() body: PremisesChange,
  ): Promise<Answer<Premises>> {
    return this.premises.change(ctx, id, ifMatch, body);
  }
}
