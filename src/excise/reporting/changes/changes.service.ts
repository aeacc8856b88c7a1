import { Injectable } from '@nestjs/common';
import { PeriodReader, requireStanding } from '../../../ledger/periods/period.reader.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { frozenReport } from '../documents/frozen-report.js';
import { changesDocument, nothingFrozen } from './changes-document.js';
import type { PeriodChanges } from './changes.dto.js';
import { ChangesReader } from './changes.reader.js';

/** A figure in question: what changed since a period was closed. */
@Injectable()
export class ChangesService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly periods: PeriodReader,
    private readonly reader: ChangesReader,
  ) {}

  of(ctx: RequestContext, id: string): Promise<PeriodChanges> {
    return this.database.read(ctx, async (tx) => {
      const period = requireStanding((await this.periods.row(tx, ctx.producerId, id)) ?? notFound());
      const bytes = await this.periods.reportBytes(tx, ctx.producerId, id);
      const { reportHash, closedAt } = period;
      if (bytes === undefined || reportHash === null || closedAt === null) {
        return nothingFrozen(id);
      }
      return changesDocument(
        { ...period, reportHash, closedAt },
        frozenReport(bytes),
        await this.reader.input(tx, ctx.producerId, period),
      );
    });
  }
}
