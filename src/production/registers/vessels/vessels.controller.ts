import { Body, Controller, Get, Headers, Param, Patch, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { tagged } from '../../../tenancy/settings/tagged.js';
import { NewVessel, VesselChange, VesselPage, VesselQuery, Vessel } from './vessels.dto.js';
import { VesselsService } from './vessels.service.js';

@Controller('v1/vessels')
export class VesselsController {
  constructor(private readonly vessels: VesselsService) {}

  @Get()
  @Access('read')
  @Documented({ tag: 'Vessels', id: 'listVessels', summary: 'List the vessels', ok: VesselPage })
  list(@Current() ctx: RequestContext, @Query() query: VesselQuery): Promise<Page<Vessel>> {
    return this.vessels.list(ctx, query);
  }

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Vessels',
    id: 'createVessel',
    summary: 'Add a vessel',
    description: 'What holds liquid: it stands at one of the premises.',
    created: Vessel,
    problems: ['not-found', 'unit-unknown', 'out-of-range', 'conflict'],
  })
  create(@Current() ctx: RequestContext, @Body() body: NewVessel): Promise<Answer<Vessel>> {
    return this.vessels.create(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Vessels', id: 'getVessel', summary: 'One vessel, with its ETag', ok: Vessel })
  async get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<Vessel>> {
    return tagged(await this.vessels.get(ctx, id));
  }

  @Patch(':id')
  @Access('production:write')
  @Documented({
    tag: 'Vessels',
    id: 'changeVessel',
    summary: 'Change or retire a vessel',
    description: 'Needs If-Match with the ETag that was read. A vessel that holds liquid is not retired.',
    ok: Vessel,
    ifMatch: true,
    problems: ['precondition-required', 'precondition-failed', 'unit-unknown', 'out-of-range', 'in-use'],
  })
  change(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Headers('if-match') ifMatch: string | undefined,
    @Body() body: VesselChange,
  ): Promise<Answer<Vessel>> {
    return this.vessels.change(ctx, id, ifMatch, body);
  }
}
