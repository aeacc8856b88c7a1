import { Injectable } from '@nestjs/common';
import type { Page, PageQuery } from '../../../platform/pagination.js';
import { idCursor, pageOf } from '../../../platform/pagination.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { LotReader } from '../../lots/lot.reader.js';
import { FindingReader } from '../finding-records/finding.reader.js';
import type { Finding } from './findings.dto.js';
import { toFinding } from './findings.dto.js';

/** Findings as they are read over the wire. */
@Injectable()
export class FindingsQuery {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly findings: FindingReader,
    private readonly lots: LotReader,
  ) {}

  list(ctx: RequestContext, lotId: string, query: PageQuery): Promise<Page<Finding>> {
    const after = idCursor('finding', query.cursor);
    return this.database.read(ctx, async (tx) => {
      if ((await this.lots.row(tx, ctx.producerId, lotId)) === undefined) {
        return notFound();
      }
      const rows = await this.findings.ofLot(tx, ctx.producerId, lotId, after, query.limit + 1);
      return pageOf('finding', rows, query.limit, (row) => [row.id], toFinding);
    });
  }

  get(ctx: RequestContext, id: string): Promise<Finding> {
    return this.database.read(ctx, async (tx) => {
      const row = await this.findings.row(tx, ctx.producerId, id);
      return row === undefined ? notFound() : toFinding(row);
    });
  }
}
