import { Body, Controller, Get, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import type { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { Filing, Filings, NewFiling } from './filings.dto.js';
import { FilingsService } from './filings.service.js';

@Controller('v1/periods')
export class FilingsController {
  constructor(private readonly filings: FilingsService) {}

  @Get(':id/filings')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'listFilings',
    summary: 'List the filings of a period’s report',
    ok: Filings,
    problems: ['conflict'],
  })
  list(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Filings> {
    return this.filings.list(ctx, id);
  }

  @Post(':id/filings')
  @Access('periods:write')
  @Documented({
    tag: 'Periods',
    id: 'filePeriod',
    summary: 'Enter that the report of a closed period was filed',
    description:
      'The report itself is handed in with the authority; here it is kept when, by whom and under which reference that was done. A report that is filed again names the filing before in `amends`; both stay. Days of filing and payment follow from the setting `filingCalendar`; `GET /v1/attention` names what is due.',
    created: Filing,
    problems: ['conflict', 'out-of-range', 'idempotency-key-malformed', 'idempotency-key-reused'],
  })
  file(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Body() body: NewFiling): Promise<Answer<Filing>> {
    return this.filings.file(ctx, id, body);
  }
}
