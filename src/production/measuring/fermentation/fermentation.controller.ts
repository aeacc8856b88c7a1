import { Controller, Get, Param } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { FermentationWatch } from './fermentation.dto.js';
import { FermentationService } from './fermentation.service.js';

@Controller('v1/lots/:id/fermentation')
export class FermentationController {
  constructor(private readonly fermentation: FermentationService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Readings',
    id: 'watchFermentation',
    summary: 'How far a lot has fermented, and when it is expected to finish',
    description:
      'State by the producer’s rule (`terminalChangePlato` and `terminalAfterHours` of the settings). Expected finish and final gravity come from a curve fitted to the gravities as read, since the lot was charged or last got sugar or water; each with its 95 % interval. The forecast plans the work; only readings decide that a ferment has finished.',
    ok: FermentationWatch,
    problems: ['conflict'],
  })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<FermentationWatch> {
    return this.fermentation.get(ctx, id);
  }
}
