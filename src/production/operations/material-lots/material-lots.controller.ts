import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { MaterialLotPage, MaterialLot, MaterialLotQuery, NewMaterialLot } from './material-lots.dto.js';
import { MaterialLotsService } from './material-lots.service.js';

@Controller('v1/material-lots')
export class MaterialLotsController {
  constructor(private readonly lots: MaterialLotsService) {}

  @Get()
  @Access('read')
  @Documented({ tag: 'Materials', id: 'listMaterialLots', summary: 'List the material lots', ok: MaterialLotPage })
  list(@Current() ctx: RequestContext, @Query() query: MaterialLotQuery): Promise<Page<MaterialLot>> {
    return this.lots.list(ctx, query);
  }

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Materials',
    id: 'receiveMaterialLot',
    summary: 'Receive a material lot',
    description:
      'A material that contains alcohol is posted to the books as a receipt, with its strength. Strong spirit burns and its vapour ignites: local codes and licensed practice decide on its handling.',
    created: MaterialLot,
    problems: ['not-found', 'time-ahead', 'period-not-open', 'period-closed'],
  })
  receive(@Current() ctx: RequestContext, @Body() body: NewMaterialLot): Promise<Answer<MaterialLot>> {
    return this.lots.receive(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Materials', id: 'getMaterialLot', summary: 'One material lot', ok: MaterialLot })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<MaterialLot> {
    return this.lots.get(ctx, id);
  }
}
