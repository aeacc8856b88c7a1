import { Injectable } from '@nestjs/common';
import { Clock } from '../../../platform/clock.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { tableCsv } from '../render/csv-table.js';
import { evidenceTables } from '../evidence/evidence-tables.js';
import type { PeriodEvidence } from '../evidence/evidence.dto.js';
import { reportTables } from './report-tables.js';
import { zipOf } from '../render/zip.js';
import type { Printing } from '../printing/pdf-queue.js';
import { PdfQueue } from '../printing/pdf-queue.js';
import type { PrintState } from '../printing/print-state.dto.js';
import { printStateAnswer } from '../printing/print-state.js';
import { reportCsv } from './report-csv.js';
import type { ReportFacts } from './report-documents.js';
import { ReportDocuments } from './report-documents.js';
import type { ReportFormat } from '../render/report-format.js';
import { formatAnswer, sha256 } from '../render/report-format.js';

/** Gives the report of a period in its faces. */
@Injectable()
export class ReportService {
  constructor(
    private readonly door: ProducerDatabase,
    private readonly clock: Clock,
    private readonly documents: ReportDocuments,
    private readonly press: PdfQueue,
  ) {}

  async face(ctx: RequestContext, periodId: string, face: ReportFormat): Promise<Answer<string | Buffer>> {
    if (face === 'pdf') {
      return this.#pdf(ctx, periodId);
    }
    const { facts, evidence } = await this.door.read(ctx, async (tx) => {
      const read = await this.documents.facts(tx, ctx, await this.documents.period(tx, ctx, periodId));
      return { facts: read, evidence: face === 'zip' ? await this.documents.evidenceOf(tx, ctx, read) : undefined };
    });
    return formatAnswer(facts.bytes, face, await this.#body(face, facts, evidence), facts.period);
  }

  /** How far the PDF has come; it is begun with the first question. */
  async printState(ctx: RequestContext, periodId: string): Promise<Answer<PrintState>> {
    const { work } = await this.door.read(ctx, (tx) => this.#printing(tx, ctx, periodId));
    return printStateAnswer(work, `/v1/periods/${periodId}/report?format=pdf`);
  }

  async #pdf(ctx: RequestContext, periodId: string): Promise<Answer<string | Buffer>> {
    const { facts, work } = await this.door.read(ctx, async (tx) => {
      const begun = await this.#printing(tx, ctx, periodId);
      return { work: begun.work, facts: begun.facts ?? (await this.documents.facts(tx, ctx, begun.period)) };
    });
    return formatAnswer(facts.bytes, 'pdf', await work.done, facts.period);
  }

  async #printing(
    tx: Tx,
    ctx: RequestContext,
    periodId: string,
  ): Promise<{ work: Printing; period: PeriodRow; facts?: ReportFacts }> {
    const period = await this.documents.period(tx, ctx, periodId);
    const key = `period-report/${ctx.producerId}/${periodId}/${await this.documents.version(tx, ctx, period)}`;
    const known = this.press.find(key);
    if (known !== undefined) {
      return { work: known, period };
    }
    const facts = await this.documents.facts(tx, ctx, period);
    const evidence = await this.documents.evidenceOf(tx, ctx, facts);
    const { report, bytes } = facts;
    const input = { report, hash: sha256(bytes).toString('hex'), evidence, at: this.#at(facts) };
    return { work: this.press.print(key, { kind: 'period-report', input }), period, facts };
  }

  #at({ period }: ReportFacts): Date {
    return period.closedAt ?? this.clock.now();
  }

  async #body(face: ReportFormat, facts: ReportFacts, evidence: PeriodEvidence | undefined): Promise<string | Buffer> {
    if (face === 'csv') {
      return reportCsv(facts.report);
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
