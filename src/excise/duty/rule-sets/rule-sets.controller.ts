import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { PageQuery } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import {
  DutyRuleSetPage,
  DutyRuleSet,
  DutyRuleSetRequest,
  StartingPointPage,
  StartingPointSummary,
} from './rule-sets.dto.js';
import { RuleSetsService } from './rule-sets.service.js';

const NOT_ADVICE = 'Local law and licensed practice decide what is due; nothing here is advice.';

@Controller('v1/duty-rule-sets')
export class RuleSetsController {
  constructor(private readonly ruleSets: RuleSetsService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Duty',
    id: 'listDutyRuleSets',
    summary: 'List the rules of duty, every version',
    ok: DutyRuleSetPage,
  })
  list(@Current() ctx: RequestContext, @Query() query: PageQuery): Promise<Page<DutyRuleSet>> {
    return this.ruleSets.list(ctx, query);
  }

  @Post()
  @Access('settings:write')
  @Documented({
    tag: 'Duty',
    id: 'createDutyRuleSet',
    summary: 'Add a version of the rules of duty',
    description: `A version never changes: a change is a new one. The duty date of a release picks the set and the rate; closed reports stay what they were. ${NOT_ADVICE}`,
    created: DutyRuleSet,
    problems: ['not-computable', 'out-of-range', 'already-exists'],
  })
  create(@Current() ctx: RequestContext, @Body() body: DutyRuleSetRequest): Promise<Answer<DutyRuleSet>> {
    return this.ruleSets.create(ctx, body);
  }

  @Get('starting-points')
  @Access('read')
  @Documented({
    tag: 'Duty',
    id: 'listDutyStartingPoints',
    summary: 'Ready-made rules of duty to start from, each with its sources and their dates',
    description: `Examples, each a body for a set of one’s own. ${NOT_ADVICE}`,
    ok: StartingPointPage,
  })
  startingPoints(): Page<StartingPointSummary> {
    return this.ruleSets.startingPoints();
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Duty', id: 'getDutyRuleSet', summary: 'One version of the rules of duty', ok: DutyRuleSet })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<DutyRuleSet> {
    return this.ruleSets.get(ctx, id);
  }
}
