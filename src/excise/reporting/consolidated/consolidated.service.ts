import { Injectable } from '@nestjs/common';
import { canonicalJson } from '../../../platform/canonical-json.js';
import { Clock } from '../../../platform/clock.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { tableCsv, tablesCsv } from '../render/csv-table.js';
import { zipOf } from '../render/zip.js';
import type { PrintedDocument } from '../printing/pdf-queue.js';
import { PdfQueue } from '../printing/pdf-queue.js';
import type { ReportFormat } from '../render/report-format.js';
import { formatAnswer, sha256Hex } from '../render/report-format.js';
import { consolidatedDocument } from './consolidated-document.js';
import type { ConsolidatedPdfInput } from './consolidated-pdf.js';
import { CONSOLIDATED_PAGES } from './consolidated-pdf.js';
import { consolidatedTables } from './consolidated-tables.js';
import type { ConsolidatedQuery, ConsolidatedReport } from './consolidated.dto.js';
import { ConsolidatedReader } from './consolidated.reader.js';
import { SpanPeriods } from './span-periods.js';

interface Made {
  readonly report: ConsolidatedReport;
  readonly bytes: string;
  /** Moment when the last of its periods was closed, or now. */
  readonly at: Date;
}

/** Gives the report of all premises over a span of their periods. */
@Injectable()
export class ConsolidatedService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly spans: SpanPeriods,
    private readonly reader: ConsolidatedReader,
    private readonly queue: PdfQueue,
  ) {}

  async report(ctx: RequestContext, query: ConsolidatedQuery, format: ReportFormat): Promise<Answer<string | Buffer>> {
    const made = await this.#made(ctx, query);
    const named = { startsOn: `${query.startsOn}-consolidated` };
    if (format === 'pdf') {
      const { pdf, documentHash } = await this.#printed(ctx, made);
      return formatAnswer(documentHash, format, pdf, named);
    }
    return formatAnswer(sha256Hex(made.bytes), format, await this.#body(format, made), named);
  }

  #made(ctx: RequestContext, { startsOn, endsBefore }: ConsolidatedQuery): Promise<Made> {
    return this.database.read(ctx, async (tx) => {
      const span = await this.spans.of(tx, ctx.producerId, startsOn, endsBefore);
      const report = consolidatedDocument(await this.reader.input(tx, ctx, span));
      const closings = span.premises.flatMap(({ periods }) => periods.map(({ closedAt }) => closedAt));
      const at = closings.reduce<Date | null>(
        (latest, each) => (latest === null || each === null ? null : each > latest ? each : latest),
        new Date(0),
      );
      return { report, bytes: canonicalJson(report), at: at ?? this.clock.now() };
    });
  }

  async #body(format: Exclude<ReportFormat, 'pdf'>, { report, bytes, at }: Made): Promise<string | Buffer> {
    switch (format) {
      case 'json':
        return bytes;
      case 'csv':
        return tablesCsv(consolidatedTables(report));
      case 'zip':
        return zipOf(
          consolidatedTables(report).map((each) => ({ name: `${each.name}.csv`, text: tableCsv(each) })),
          at,
        );
    }
  }

  #printed({ producerId }: RequestContext, { report, bytes, at }: Made): Promise<PrintedDocument> {
    const document = `consolidated-report/${report.startsOn}/${report.endsBefore}`;
    const hash = sha256Hex(bytes);
    const version = `${hash} ${at.toISOString()}`;
    const input: ConsolidatedPdfInput = { report, hash, at };
    return this.queue.print({ producerId, document, version, documentHash: hash, module: CONSOLIDATED_PAGES, input })
      .done;
  }
}
