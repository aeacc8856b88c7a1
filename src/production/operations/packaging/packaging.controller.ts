import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { PackagedLotsQuery } from './packaged-lots.query.js';
import { PackagedLot, PackagedLotPage, PackagedLotQuery } from './packaged-lots.dto.js';
import { NewPackaging, PackagingAnswer } from './packaging.dto.js';
import { PackagingService } from './packaging.service.js';

@Controller('v1')
export class PackagingController {
  constructor(
    private readonly packaging: PackagingService,
    private readonly query: PackagedLotsQuery,
  ) {}

  @Post('lots/:id/packagings')
  @Access('production:write')
  @Documented({
    tag: 'Packaging',
    id: 'packLot',
    summary: 'Fill containers in one run',
    description:
      'Posts the liquid out of the vessel, count × nominal volume into the containers, mean fill minus nominal to the fill difference, and the loss to its line. The rest stays in the vessel unless `emptied` is true. A loss beyond the uncertainty of the gauge and the producer’s `usualPackagingLoss` needs a reasonCode. If the containers hold more than the gauge found, the gain is flagged within the uncertainty of the gauge; beyond it a reasonCode is required. Containers under pressure burst: keep to their rating; local codes and licensed practice decide.',
    created: PackagingAnswer,
    problems: [
      'not-found',
      'time-ahead',
      'insufficient-stock',
      'packing-exceeds-gauge',
      'reason-needed',
      'container-elsewhere',
      'finding-needed',
      'assertion-in-the-way',
      'period-not-open',
      'period-closed',
    ],
  })
  pack(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewPackaging,
  ): Promise<Answer<PackagingAnswer>> {
    return this.packaging.pack(ctx, id, body);
  }

  @Get('packaged-lots')
  @Access('read')
  @Documented({
    tag: 'Packaging',
    id: 'listPackagedLots',
    summary: 'List the packaged lots, with what is on hand',
    ok: PackagedLotPage,
  })
  list(@Current() ctx: RequestContext, @Query() query: PackagedLotQuery): Promise<Page<PackagedLot>> {
    return this.query.list(ctx, query);
  }

  @Get('packaged-lots/:id')
  @Access('read')
  @Documented({ tag: 'Packaging', id: 'getPackagedLot', summary: 'One packaged lot', ok: PackagedLot })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<PackagedLot> {
    return this.query.get(ctx, id);
  }
}
