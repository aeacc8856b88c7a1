import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../../ledger/periods/period.reader.js';
import { canonicalJson } from '../../../platform/canonical-json.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { reportOf } from '../documents/frozen-report.js';
import { reportDocument } from '../period/report-document.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { ReportReader } from '../sources/report.reader.js';

/** Report of one period without the parts that grow with the books. */
export interface PeriodPart {
  readonly period: PeriodRow;
  /** The period as its report has it. */
  readonly head: Pick<PeriodReport, 'producer' | 'premises' | 'period'>;
  readonly opening: PeriodReport['opening'];
  readonly lines: PeriodReport['lines'];
  readonly closing: PeriodReport['closing'];
  readonly duty: Omit<PeriodReport['duty'], 'releases'>;
  readonly money: PeriodReport['money'];
  readonly trail: PeriodReport['trail'];
  readonly statement: PeriodReport['statement'];
  readonly deficiency: Omit<PeriodReport['deficiency'], 'entries'>;
}

const LONG_PARTS = [
  ['stock'],
  ['received'],
  ['losses'],
  ['corrections'],
  ['lotsProduced'],
  ['lotsInProcess'],
  ['lateEntries'],
  ['duty', 'releases'],
  ['duty', 'previouslyDutyPaid', 'goods'],
  ['deficiency', 'entries'],
];

/** Reads the reports of periods: the frozen ones as they were frozen, those of open periods made anew. */
@Injectable()
export class PeriodParts {
  constructor(
    private readonly periods: PeriodReader,
    private readonly reports: ReportReader,
  ) {}

  async of(tx: Tx, ctx: RequestContext, periods: readonly PeriodRow[]): Promise<PeriodPart[]> {
    const closed = periods.filter(({ reportId }) => reportId !== null).map(({ id }) => id);
    const frozen = await this.periods.reportParts(tx, ctx.producerId, closed, LONG_PARTS);
    const parts: PeriodPart[] = [];
    for (const period of periods) {
      const document = frozen.get(period.id) ?? (await this.#made(tx, ctx, period));
      const report = reportOf(document);
      parts.push({ ...report, period, head: report });
    }
    return parts;
  }

  /** Through its bytes, as a frozen one comes: both are plain data then. */
  async #made(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<unknown> {
    return JSON.parse(canonicalJson(reportDocument(await this.reports.input(tx, ctx, period, 'provisional'))));
  }
}
