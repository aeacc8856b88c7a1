import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { MaterialEntry, NewMaterialCount, NewMaterialWriteOff } from '../material-stock/material-stock.dto.js';
import { MaterialStockService } from '../material-stock/material-stock.service.js';
import {
  MaterialLotPage,
  MaterialLot,
  MaterialLotQuery,
  NewMaterialLot,
  ReceivedMaterialLot,
} from './material-lots.dto.js';
import { MaterialLotsService } from './material-lots.service.js';

@Controller('v1/material-lots')
export class MaterialLotsController {
  constructor(
    private readonly lots: MaterialLotsService,
    private readonly stock: MaterialStockService,
  ) {}

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
    created: ReceivedMaterialLot,
    problems: ['not-found', 'time-ahead', 'period-not-open', 'period-closed'],
  })
  receive(@Current() ctx: RequestContext, @Body() body: NewMaterialLot): Promise<Answer<ReceivedMaterialLot>> {
    return this.lots.receive(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Materials', id: 'getMaterialLot', summary: 'One material lot', ok: MaterialLot })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<MaterialLot> {
    return this.lots.get(ctx, id);
  }

  @Post(':id/counts')
  @Access('production:write')
  @Documented({
    tag: 'Materials',
    id: 'countMaterialLot',
    summary: 'Count a material lot without alcohol',
    description:
      'States what is on hand. From then on the quantity on hand is the count, less what is used and written off later. A material with alcohol is counted by a stock-take.',
    created: MaterialEntry,
    problems: ['not-found', 'conflict', 'time-ahead', 'period-not-open', 'period-closed'],
  })
  count(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewMaterialCount,
  ): Promise<Answer<MaterialEntry>> {
    return this.stock.count(ctx, id, body);
  }

  @Post(':id/write-offs')
  @Access('production:write')
  @Documented({
    tag: 'Materials',
    id: 'writeOffMaterialLot',
    summary: 'Write off some of a material lot without alcohol',
    description:
      'Takes what was lost or thrown away from the quantity on hand, with the reason. A material with alcohol leaves by a movement.',
    created: MaterialEntry,
    problems: ['not-found', 'conflict', 'time-ahead', 'period-not-open', 'period-closed'],
  })
  writeOff(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewMaterialWriteOff,
  ): Promise<Answer<MaterialEntry>> {
    return this.stock.writeOff(ctx, id, body);
  }
}
