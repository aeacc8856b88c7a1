import { Injectable } from '@nestjs/common';
import { canonicalJson } from '../../platform/canonical-json.js';
import { Clock } from '../../platform/clock.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../ledger/periods/period.reader.js';
import type { Answer } from '../../tenancy/door/batch.js';
import type { RequestContext } from '../../tenancy/door/context.js';
import type { Tx } from '../../tenancy/door/door.js';
import { Door } from '../../tenancy/door/door.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { tableCsv } from '../faces/csv-table.js';
import { evidenceTables } from '../faces/evidence-tables.js';
import type { PeriodEvidence } from '../faces/evidence.dto.js';
import { EvidenceService, headIn } from '../faces/evidence.service.js';
import { makePdf } from '../faces/pdf-maker.js';
import { reportPdf } from '../faces/report-pdf.js';
import { reportTables } from '../faces/report-tables.js';
import { zipOf } from '../faces/zip.js';
import { reportCsv } from './report-csv.js';
import { reportDocument } from './report-document.js';
import type { Face } from './report-face.js';
import { faceAnswer, sha256 } from './report-face.js';
import { ReportReader } from './report.reader.js';
import type { PeriodReport } from './report.dto.js';

/** What the faces are made of: the document's bytes, and what its figures rest on where a face shows that. */
interface Document {
  readonly period: PeriodRow;
  readonly bytes: string;
  readonly report: PeriodReport;
  readonly evidence?: PeriodEvidence;
}

const WITH_EVIDENCE: ReadonlySet<Face> = new Set(['zip', 'pdf']);

/** Gives the report of a period: made anew while it is open, the frozen bytes once it is closed. */
@Injectable()
export class ReportService {
  constructor(
    private readonly door: Door,
    private readonly clock: Clock,
    private readonly periods: PeriodReader,
    private readonly reports: ReportReader,
    private readonly evidence: EvidenceService,
  ) {}

  async face(ctx: RequestContext, periodId: string, face: Face): Promise<Answer<string | Buffer>> {
    const document = await this.door.read(ctx, async (tx): Promise<Document> => {
      const period = (await this.periods.row(tx, ctx.producerId, periodId)) ?? notFound();
      const bytes = await this.#bytes(tx, ctx, period);
      const report = JSON.parse(bytes) as PeriodReport;
      return WITH_EVIDENCE.has(face)
        ? { period, bytes, report, evidence: await this.evidence.ofPeriod(tx, ctx.producerId, period, headIn(report)) }
        : { period, bytes, report };
    });
    return faceAnswer(document.bytes, face, await this.#body(face, document), document.period);
  }

  async #body(face: Face, { period, bytes, report, evidence }: Document): Promise<string | Buffer> {
    const at = period.closedAt ?? this.clock.now();
    if (face === 'csv') {
      return reportCsv(report);
    }
    if (evidence === undefined) {
      return bytes;
    }
    return face === 'pdf'
      ? makePdf(reportPdf({ report, hash: sha256(bytes).toString('hex'), evidence, at }))
      : zipOf(
          [...reportTables(report), ...evidenceTables(evidence)].map((each) => ({
            name: `${each.name}.csv`,
            text: tableCsv(each),
          })),
          at,
        );
  }

  async #bytes(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<string> {
    const frozen = await this.periods.reportBytes(tx, ctx.producerId, period.id);
    return frozen ?? canonicalJson(reportDocument(await this.reports.input(tx, ctx, period, 'provisional')));
  }
}
