import { Controller, Get, Headers, Param, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { formatOf } from '../render/report-format.js';
import { ProductionYear, ProductionYearParam, ProductionYearQuery, YEAR_FORMATS } from './production-year.dto.js';
import { ProductionYearService } from './production-year.service.js';

@Controller('v1/production-years')
export class ProductionYearController {
  constructor(private readonly years: ProductionYearService) {}

  @Get(':year')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'getProductionYear',
    summary: 'Production of a year by month, as JSON, CSV or PDF',
    description:
      'For reliefs and limits that rest on yearly production: volume and pure alcohol in hectolitres by month over all premises, the producer’s own beside what was made for other owners, by category, with the group’s figures as the producer states them, its thresholds, and an estimate for the coming year. When the year begins, what counts, the group and the thresholds are the setting `productionYear`; the law decides what they should be. The sum of the months of `basis` `produced` is that of the lines `produced` and `re-measurement` of the reports. It is made of the books anew each time.',
    ok: ProductionYear,
    alsoAs: ['text/csv', 'application/pdf'],
    problems: ['not-acceptable', 'validation-failed', 'rate-limited'],
  })
  year(
    @Current() ctx: RequestContext,
    @Param() { year }: ProductionYearParam,
    @Query() { format }: ProductionYearQuery,
    @Headers('accept') accept: string | undefined,
  ): Promise<Answer<string | Buffer>> {
    return this.years.year(ctx, year, formatOf(format, accept, YEAR_FORMATS));
  }
}
