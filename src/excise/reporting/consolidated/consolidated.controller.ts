import { Controller, Get, Headers, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { formatOf, REPORT_FORMATS } from '../render/report-format.js';
import { ConsolidatedQuery, ConsolidatedReport } from './consolidated.dto.js';
import { ConsolidatedService } from './consolidated.service.js';

@Controller('v1/consolidated-reports')
export class ConsolidatedController {
  constructor(private readonly reports: ConsolidatedService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'getConsolidatedReport',
    summary: 'The report of all premises over a span of their periods, as JSON, CSV or PDF',
    description:
      'Whole periods of all premises that lie in the days: each line summed over the premises with its uncertainty by origin, what moved between them netted out with the tie, duty as the sum of the periods, and the hash of each frozen report. It is made of the books and tied to the reports of the periods; while one of them is open it may still change. `csv` has all tables in one file; `zip` has a file for each table.',
    ok: ConsolidatedReport,
    alsoAs: ['text/csv', 'application/zip', 'application/pdf'],
    problems: ['not-found', 'not-acceptable', 'validation-failed', 'out-of-range'],
  })
  report(
    @Current() ctx: RequestContext,
    @Query() query: ConsolidatedQuery,
    @Headers('accept') accept: string | undefined,
  ): Promise<Answer<string | Buffer>> {
    return this.reports.report(ctx, query, formatOf(query.format, accept, REPORT_FORMATS));
  }
}
