import { Controller, Get, Param, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { recallCsv } from './recall-csv.js';
import { RecallQuery, Recall, TraceQuery, Trace } from './trace.dto.js';
import { TraceService } from './trace.service.js';

const WORDS =
  'Across splits, blends and dilutions, with shares by litres: backward to lots and to material lots with their suppliers, forward to packaged lots and to those who first received them. Operations that were reversed do not count.';

@Controller('v1')
export class TraceController {
  constructor(private readonly traces: TraceService) {}

  @Get('lots/:id/trace')
  @Access('read')
  @Documented({
    tag: 'Trace',
    id: 'traceLot',
    summary: 'Trace a lot',
    description: WORDS,
    ok: Trace,
    problems: ['not-computable'],
  })
  lot(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Query() { direction }: TraceQuery): Promise<Trace> {
    return this.traces.trace(ctx, 'lot', id, direction);
  }

  @Get('packaged-lots/:id/trace')
  @Access('read')
  @Documented({
    tag: 'Trace',
    id: 'tracePackagedLot',
    summary: 'Trace a packaged lot',
    description: WORDS,
    ok: Trace,
    problems: ['not-computable'],
  })
  packagedLot(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Query() { direction }: TraceQuery,
  ): Promise<Trace> {
    return this.traces.trace(ctx, 'packaged-lot', id, direction);
  }

  @Get('material-lots/:id/trace')
  @Access('read')
  @Documented({
    tag: 'Trace',
    id: 'traceMaterialLot',
    summary: 'Trace a material lot forward',
    description: WORDS,
    ok: Trace,
    problems: ['not-computable'],
  })
  materialLot(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Trace> {
    return this.traces.trace(ctx, 'material-lot', id, 'forward');
  }

  @Get('recalls')
  @Access('read')
  @Documented({
    tag: 'Trace',
    id: 'listRecall',
    summary: 'Packaged lots to recall',
    description:
      'Each packaged lot with some of a material lot, a lot or a packaged lot once: its share, what was packed, is on hand and was released, and who received it. As JSON or CSV. What has to be called back is for local law and for those responsible to decide.',
    ok: Recall,
    problems: ['not-found', 'not-computable', 'validation-failed'],
  })
  async recall(@Current() ctx: RequestContext, @Query() query: RecallQuery): Promise<Answer<Recall | string>> {
    const list = await this.traces.recall(ctx, query);
    return query.format === 'csv'
      ? new Answer<string>(200, recallCsv(list), {
          'content-type': 'text/csv; charset=utf-8',
          'content-disposition': 'attachment; filename="recall.csv"',
        })
      : new Answer(200, list);
  }
}
