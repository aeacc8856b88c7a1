import { Controller, Get, Headers, Param, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsOneOf } from '../../../platform/validation/fields.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { ReportFormat } from '../render/report-format.js';
import { formatOf, REPORT_FORMATS } from '../render/report-format.js';
import { PrintState } from '../printing/print-state.dto.js';
import { PeriodReport } from '../documents/report.dto.js';
import { ReportService } from './report.service.js';

export class ReportQuery {
  @Optional()
  @IsOneOf(REPORT_FORMATS, { description: 'Format of the answer; if it is absent, the Accept header decides.' })
  format?: ReportFormat;
}

@Controller('v1/periods')
export class ReportController {
  constructor(private readonly reports: ReportService) {}

  @Get(':id/report')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'getPeriodReport',
    summary: 'The report of a period, as JSON, CSV or PDF',
    description:
      'The format `json` is the document itself. `csv` has all its tables in one file; the column `table` names the table of a row. `zip` has a file for each table, with those of the evidence. `pdf` is the document to hand over, with an annex of the evidence. The report is provisional while the period is open. Once it is closed, the frozen bytes are answered, the same every time; their SHA-256 is the hash of the closing. Local law and licensed practice decide what is owed: the figures are no assessment of duty.',
    ok: PeriodReport,
    alsoAs: ['text/csv', 'application/zip', 'application/pdf'],
    problems: ['not-acceptable', 'validation-failed'],
  })
  report(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Query() { format }: ReportQuery,
    @Headers('accept') accept: string | undefined,
  ): Promise<Answer<string | Buffer>> {
    return this.reports.report(ctx, id, formatOf(format, accept, REPORT_FORMATS));
  }

  @Get(':id/report/print-state')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'getPeriodReportPrintState',
    summary: 'Progress of the PDF of a report',
    description:
      'For a report of many pages. The first request begins the printing and is answered 202 with its progress; ask again after `Retry-After`. Once the PDF is ready the answer is 200, and `document` is the address from which it is fetched without waiting. Fetching it at once is possible too: that answer waits until it is printed. `rate-limited` says that many of your own documents are waiting; the load of other producers never refuses yours.',
    ok: PrintState,
    accepted: PrintState,
    problems: ['rate-limited'],
  })
  printState(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<PrintState>> {
    return this.reports.printState(ctx, id);
  }
}
