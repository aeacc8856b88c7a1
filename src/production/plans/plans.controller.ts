import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { PageQuery } from '../../platform/pagination.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../../tenancy/access/current.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { NewPlan, PlanAnswer, PlanPage, SavedPlan } from './plans.dto.js';
import { PlansService } from './plans.service.js';

@Controller('v1')
export class PlansController {
  constructor(private readonly plans: PlansService) {}

  @Post('lots/:id/plans')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'planForLot',
    summary: 'Plan a dilution, blend, addition or carbonation',
    description:
      'Computed on the lot as it stands, by the same steps as the operation: amounts, strength with U, the probability that the label is right, cautions. Nothing is posted. The operation may name the plan, and both are kept. A container bursts above its rated pressure: local codes and licensed practice decide.',
    created: PlanAnswer,
    problems: [
      'not-found',
      'insufficient-stock',
      'vessel-in-use',
      'finding-needed',
      'out-of-range',
      'not-computable',
      'conflict',
    ],
  })
  plan(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Body() body: NewPlan): Promise<Answer<PlanAnswer>> {
    return this.plans.plan(ctx, id, body);
  }

  @Get('lots/:id/plans')
  @Access('read')
  @Documented({ tag: 'Lots', id: 'listPlans', summary: 'List the plans of a lot', ok: PlanPage })
  list(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Query() query: PageQuery): Promise<Page<SavedPlan>> {
    return this.plans.list(ctx, id, query);
  }

  @Get('plans/:id')
  @Access('read')
  @Documented({ tag: 'Lots', id: 'getPlan', summary: 'One plan, with what carried it out', ok: SavedPlan })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<SavedPlan> {
    return this.plans.get(ctx, id);
  }
}
