import { Injectable } from '@nestjs/common';
import { headOf } from '../../../ledger/books/head.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { PeriodReader, requireStanding } from '../../../ledger/periods/period.reader.js';
import { canonicalJson } from '../../../platform/canonical-json.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import type { PeriodEvidence } from '../evidence/evidence.dto.js';
import { EvidenceService, headIn } from '../evidence/evidence.service.js';
import { frozenReport } from '../documents/frozen-report.js';
import { reportDocument } from './report-document.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { ReportReader } from '../sources/report.reader.js';

/** Document of a period and its bytes, from which every format is made. */
export interface ReportFacts {
  readonly period: PeriodRow;
  readonly bytes: string;
  readonly report: PeriodReport;
}

/** Reads the document of a period, made anew while it is open, the frozen bytes once it is closed, and what its figures rest on. */
@Injectable()
export class ReportDocuments {
  constructor(
    private readonly periods: PeriodReader,
    private readonly reports: ReportReader,
    private readonly evidence: EvidenceService,
  ) {}

  async period(tx: Tx, { producerId }: RequestContext, periodId: string): Promise<PeriodRow> {
    return requireStanding((await this.periods.row(tx, producerId, periodId)) ?? notFound());
  }

  /** Changes with every write while the period is open, afterwards only with the closing down of its premises. */
  async version(tx: Tx, { producerId }: RequestContext, period: PeriodRow): Promise<string> {
    const hash = period.reportHash ?? `head ${(await headOf(tx, producerId)).sequence}`;
    return period.lastReport ? `${hash} last` : hash;
  }

  async facts(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<ReportFacts> {
    const frozen = await this.periods.reportBytes(tx, ctx.producerId, period.id);
    const bytes = frozen ?? canonicalJson(reportDocument(await this.reports.input(tx, ctx, period, 'provisional')));
    return { period, bytes, report: frozenReport(bytes) };
  }

  evidenceOf(tx: Tx, ctx: RequestContext, { period, report }: ReportFacts): Promise<PeriodEvidence> {
    return this.evidence.ofPeriod(tx, ctx.producerId, period, headIn(report));
  }
}
