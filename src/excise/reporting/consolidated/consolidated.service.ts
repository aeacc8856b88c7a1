import { Injectable } from '@nestjs/common';
import { canonicalJson } from '../../../platform/canonical-json.js';
import { Clock } from '../../../platform/clock.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { tableCsv } from '../render/csv-table.js';
import { zipOf } from '../render/zip.js';
import { PdfQueue } from '../printing/pdf-queue.js';
import type { ReportFormat } from '../render/report-format.js';
import { formatAnswer, sha256 } from '../render/report-format.js';
import { consolidatedDocument } from './consolidated-document.js';
import { balanceTable, consolidatedTables } from './consolidated-tables.js';
import type { ConsolidatedQuery, ConsolidatedReport } from './consolidated.dto.js';
import { ConsolidatedReader } from './consolidated.reader.js';
import { SpanPeriods } from './span-periods.js';

interface Made {
  readonly report: ConsolidatedReport;
  readonly bytes: string;
  /** When the last of its periods was closed, or now. */
  readonly at: Date;
}

/** Gives the report of all premises over a span of their periods. */
@Injectable()
export class ConsolidatedService {
  constructor(
    private readonly door: ProducerDatabase,
    private readonly clock: Clock,
    private readonly spans: SpanPeriods,
    private readonly reader: ConsolidatedReader,
    private readonly press: PdfQueue,
  ) {}

  async face(ctx: RequestContext, query: ConsolidatedQuery, face: ReportFormat): Promise<Answer<string | Buffer>> {
    const made = await this.#made(ctx, query);
    const body = await this.#body(ctx, face, made);
    return formatAnswer(made.bytes, face, body, { startsOn: `${query.startsOn}-consolidated` });
  }

  #made(ctx: RequestContext, { startsOn, endsBefore }: ConsolidatedQuery): Promise<Made> {
    return this.door.read(ctx, async (tx) => {
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

  async #body(ctx: RequestContext, face: ReportFormat, { report, bytes, at }: Made): Promise<string | Buffer> {
    switch (face) {
      case 'json':
        return bytes;
      case 'csv':
        return tableCsv(balanceTable(report));
      case 'zip':
        return zipOf(
          consolidatedTables(report).map((each) => ({ name: `${each.name}.csv`, text: tableCsv(each) })),
          at,
        );
      case 'pdf': {
        const hash = sha256(bytes).toString('hex');
        const key = `consolidated-report/${ctx.producerId}/${hash}/${at.toISOString()}`;
        return this.press.print(key, { kind: 'consolidated-report', input: { report, hash, at } }).done;
      }
    }
  }
}
