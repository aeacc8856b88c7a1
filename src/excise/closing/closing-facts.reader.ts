import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../ledger/periods/period.reader.js';
import { Clock } from '../../platform/clock.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { TrailReader } from '../../tenancy/trail/trail.reader.js';
import { reportDocument, reconciliationOfInput } from '../reporting/period/report-document.js';
import type { ReportInput } from '../reporting/sources/report-input.js';
import { ReportReader } from '../reporting/sources/report.reader.js';
import { ClosingDoubtsReader } from './closing-doubts.reader.js';
import { labelsThatDoNotHold } from './closing-labels.js';
import type { ClosingFacts } from './closing-check.js';

/** Reads what a closing is decided by. */
@Injectable()
export class ClosingFactsReader {
  constructor(
    private readonly clock: Clock,
    private readonly periods: PeriodReader,
    private readonly reports: ReportReader,
    private readonly trail: TrailReader,
    private readonly doubts: ClosingDoubtsReader,
  ) {}

  async of(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<ClosingFacts> {
    const before = await this.periods.before(tx, ctx.producerId, period);
    const from = (before?.reportHeadSequence ?? 0n) + 1n;
    const faults = await this.trail.faults(tx, ctx.producerId, from);
    const facts = await this.alone(tx, ctx, period);
    return { ...facts, faults, openBefore: before?.reportId === null ? before : undefined };
  }

  /** The same without a look at the trail and at the period before. */
  async alone(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<ClosingFacts & { readonly input: ReportInput }> {
    const input = await this.reports.input(tx, ctx, period, 'closed');
    const { settings, doubts } = await this.doubts.of(tx, ctx.producerId, period);
    return {
      now: this.clock.now(),
      period,
      openBefore: undefined,
      faults: [],
      input,
      reconciliation: reconciliationOfInput(input),
      report: reportDocument(input),
      labels: labelsThatDoNotHold(input),
      doubts,
      allowsUnexplained: settings.allowUnexplainedDifferences !== false,
      allowsIncompleteDuty: settings.allowIncompleteDuty === true,
    };
  }
}
