import { Injectable } from '@nestjs/common';
import { Clock } from '../../../platform/clock.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { tableCsv, tablesCsv } from '../render/csv-table.js';
import { evidenceTables } from '../evidence/evidence-tables.js';
import type { PeriodEvidence } from '../evidence/evidence.dto.js';
import { reportTables } from './report-tables.js';
import { zipOf } from '../render/zip.js';
import type { Printing } from '../printing/pdf-queue.js';
import { PdfQueue } from '../printing/pdf-queue.js';
import type { PrintState } from '../printing/print-state.dto.js';
import { printStateAnswer } from '../printing/print-state.js';
import type { ReportFacts } from './report-documents.js';
import { ReportDocuments } from './report-documents.js';
import type { ReportPdfInput } from './report-pdf.js';
import { REPORT_PAGES } from './report-pdf.js';
import type { ReportFormat } from '../render/report-format.js';
import { formatAnswer, sha256Hex } from '../render/report-format.js';

/** Gives the report of a period in its formats. */
@Injectable()
export class ReportService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly documents: ReportDocuments,
    private readonly queue: PdfQueue,
  ) {}

  async report(ctx: RequestContext, periodId: string, format: ReportFormat): Promise<Answer<string | Buffer>> {
    if (format === 'pdf') {
      const { work, period } = await this.database.read(ctx, (tx) => this.#printing(tx, ctx, periodId));
      const { pdf, documentHash } = await work.done;
      return formatAnswer(documentHash, 'pdf', pdf, period);
    }
    const { facts, evidence } = await this.database.read(ctx, async (tx) => {
      const read = await this.documents.facts(tx, ctx, await this.documents.period(tx, ctx, periodId));
      return { facts: read, evidence: format === 'zip' ? await this.documents.evidenceOf(tx, ctx, read) : undefined };
    });
    return formatAnswer(sha256Hex(facts.bytes), format, await this.#body(format, facts, evidence), facts.period);
  }

  /** Progress of the PDF; the first question begins the printing. */
  async printState(ctx: RequestContext, periodId: string): Promise<Answer<PrintState>> {
    const { work } = await this.database.read(ctx, (tx) => this.#printing(tx, ctx, periodId));
    return printStateAnswer(work, `/v1/periods/${periodId}/report?format=pdf`);
  }

  async #printing(tx: Tx, ctx: RequestContext, periodId: string): Promise<{ work: Printing; period: PeriodRow }> {
    const period = await this.documents.period(tx, ctx, periodId);
    const version = await this.documents.version(tx, ctx, period);
    const key = { producerId: ctx.producerId, document: `period-report/${periodId}`, version };
    const known = this.queue.find(key);
    if (known !== undefined) {
      return { work: known, period };
    }
    const facts = await this.documents.facts(tx, ctx, period);
    const evidence = await this.documents.evidenceOf(tx, ctx, facts);
    const documentHash = sha256Hex(facts.bytes);
    const input: ReportPdfInput = {
      report: facts.report,
      hash: documentHash,
      evidence,
      at: this.#at(facts),
      isLast: period.lastReport,
    };
    return { work: this.queue.print({ ...key, documentHash, module: REPORT_PAGES, input }), period };
  }

  #at({ period }: ReportFacts): Date {
    return period.closedAt ?? this.clock.now();
  }

  async #body(
    format: ReportFormat,
    facts: ReportFacts,
    evidence: PeriodEvidence | undefined,
  ): Promise<string | Buffer> {
    if (format === 'csv') {
      return tablesCsv(reportTables(facts.report));
    }
    if (evidence === undefined) {
      return facts.bytes;
    }
    const tables = [...reportTables(facts.report), ...evidenceTables(evidence)];
    return zipOf(
      tables.map((each) => ({ name: `${each.name}.csv`, text: tableCsv(each) })),
      this.#at(facts),
    );
  }
}
