import { Injectable } from '@nestjs/common';
import { canonicalJson } from '../../platform/canonical-json.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../ledger/periods/period.reader.js';
import type { Answer } from '../../tenancy/door/batch.js';
import type { RequestContext } from '../../tenancy/door/context.js';
import type { Tx } from '../../tenancy/door/door.js';
import { Door } from '../../tenancy/door/door.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { reportDocument } from './report-document.js';
import type { Face } from './report-face.js';
import { faceAnswer } from './report-face.js';
import { ReportReader } from './report.reader.js';

/** Gives the report of a period: made anew while it is open, the frozen bytes once it is closed. */
@Injectable()
export class ReportService {
  constructor(
    private readonly door: Door,
    private readonly periods: PeriodReader,
    private readonly reports: ReportReader,
  ) {}

  async face(ctx: RequestContext, periodId: string, face: Face): Promise<Answer<string>> {
    const { period, bytes } = await this.door.read(ctx, async (tx) => {
      const period = (await this.periods.row(tx, ctx.producerId, periodId)) ?? notFound();
      return { period, bytes: await this.#bytes(tx, ctx, period) };
    });
    return faceAnswer(bytes, face, period);
  }

  async #bytes(tx: Tx, ctx: RequestContext, period: PeriodRow): Promise<string> {
    const frozen = await this.periods.reportBytes(tx, ctx.producerId, period.id);
    return frozen ?? canonicalJson(reportDocument(await this.reports.input(tx, ctx, period, 'provisional')));
  }
}
