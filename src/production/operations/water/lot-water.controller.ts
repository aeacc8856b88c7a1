import { Controller, Get, Param } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { LotWater } from './lot-water.dto.js';
import { LotWaterService } from './lot-water.service.js';

@Controller('v1/lots')
export class LotWaterController {
  constructor(private readonly waters: LotWaterService) {}

  @Get(':id/water')
  @Access('read')
  @Documented({
    tag: 'Lots',
    id: 'getLotWater',
    summary: 'Ions of the brewing water of a lot',
    description:
      "The water of the recipe's plan and the salts of charges and additions, in mg/L. A material counts where its `waterSalt` says which salt it is.",
    ok: LotWater,
  })
  water(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<LotWater> {
    return this.waters.of(ctx, id);
  }
}
