import { Injectable } from '@nestjs/common';
import { canonicalJson } from '../../../platform/canonical-json.js';
import { Clock } from '../../../platform/clock.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { PdfQueue } from '../printing/pdf-queue.js';
import { tablesCsv } from '../render/csv-table.js';
import { formatAnswer, sha256Hex } from '../render/report-format.js';
import { productionYearDocument } from './production-year-document.js';
import type { ProductionYearPdfInput } from './production-year-pdf.js';
import { PRODUCTION_YEAR_PAGES } from './production-year-pdf.js';
import { productionYearTables } from './production-year-tables.js';
import type { YearFormat } from './production-year.dto.js';
import { ProductionYearReader } from './production-year.reader.js';

/** Gives the production of a year in its formats. */
@Injectable()
export class ProductionYearService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly reader: ProductionYearReader,
    private readonly queue: PdfQueue,
  ) {}

  async year(ctx: RequestContext, year: number, format: YearFormat): Promise<Answer<string | Buffer>> {
    const at = this.clock.now();
    const report = productionYearDocument(
      await this.database.read(ctx, (tx) => this.reader.input(tx, ctx, year, at)),
      at,
    );
    const bytes = canonicalJson(report);
    const hash = sha256Hex(bytes);
    const named = { startsOn: `${report.startsOn}-production` };
    if (format === 'pdf') {
      const input: ProductionYearPdfInput = { report, hash, at };
      const { producerId } = ctx;
      const { pdf } = await this.queue.print({
        producerId,
        document: `production-year/${year}`,
        version: `${hash} ${at.toISOString()}`,
        documentHash: hash,
        module: PRODUCTION_YEAR_PAGES,
        input,
      }).done;
      return formatAnswer(hash, format, pdf, named);
    }
    return formatAnswer(hash, format, format === 'csv' ? tablesCsv(productionYearTables(report)) : bytes, named);
  }
}
