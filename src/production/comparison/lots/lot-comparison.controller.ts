import { Controller, Get, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { LotComparison, LotComparisonQuery } from './lot-comparison.dto.js';
import { LotComparisonService } from './lot-comparison.service.js';

@Controller('v1/lots')
export class LotComparisonController {
  constructor(private readonly comparisons: LotComparisonService) {}

  @Get('comparison')
  @Access('read')
  @Documented({
    tag: 'Lots',
    id: 'compareLots',
    summary: 'Two lots side by side',
    description:
      'Curves by the hours since pitching or charge, strength, real extract, apparent attenuation and time to terminal gravity. Each difference is the second lot less the first, with its uncertainty: what both lots share, such as one hydrometer, cancels.',
    ok: LotComparison,
    problems: ['not-found', 'validation-failed'],
  })
  compare(@Current() ctx: RequestContext, @Query() query: LotComparisonQuery): Promise<LotComparison> {
    return this.comparisons.compare(ctx, query);
  }
}
