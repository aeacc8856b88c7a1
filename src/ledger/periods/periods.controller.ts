import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../../tenancy/access/current.js';
import type { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { NewPeriod, PeriodPage, PeriodQuery, Period } from './periods.dto.js';
import { PeriodsService } from './periods.service.js';

@Controller('v1/periods')
export class PeriodsController {
  constructor(private readonly periods: PeriodsService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'listPeriods',
    summary: 'List the reporting periods',
    ok: PeriodPage,
    problems: ['cursor-malformed', 'validation-failed'],
  })
  list(@Current() ctx: RequestContext, @Query() query: PeriodQuery): Promise<Page<Period>> {
    return this.periods.list(ctx, query);
  }

  @Post()
  @Access('periods:write')
  @Documented({
    tag: 'Periods',
    id: 'openPeriod',
    summary: 'Open a reporting period',
    description:
      'Ask for a `month`, a `quarter`, or the days `startsOn` and `endsBefore`; the last day inside is the one before `endsBefore`, and `inWords` says it. The days are those of the premises, and their moments are fixed now. The first period may start on any day; each later one starts where the last one ends. An empty one that was opened by mistake can be withdrawn.',
    created: Period,
    problems: ['not-found', 'conflict', 'out-of-range', 'idempotency-key-malformed', 'idempotency-key-reused'],
  })
  open(@Current() ctx: RequestContext, @Body() body: NewPeriod): Promise<Answer<Period>> {
    return this.periods.open(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'getPeriod',
    summary: 'One reporting period, open or closed',
    ok: Period,
  })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Period> {
    return this.periods.get(ctx, id);
  }

  @Post(':id/withdrawal')
  @Access('periods:write')
  @Documented({
    tag: 'Periods',
    id: 'withdrawPeriod',
    summary: 'Withdraw an empty period',
    description:
      'Takes back the last period of a premises, while nothing was entered in it. It stays in the list as withdrawn and covers no day; then the days can be opened anew. A period with entries is closed instead.',
    created: Period,
    problems: ['conflict', 'in-use', 'period-closed', 'idempotency-key-malformed', 'idempotency-key-reused'],
  })
  withdraw(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<Period>> {
    return this.periods.withdraw(ctx, id);
  }
}
