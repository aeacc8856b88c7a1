import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { NewStockTake, StockTakePage, StockTakeQuery, StockTake } from './stock-takes.dto.js';
import { StockTakesService } from './stock-takes.service.js';

@Controller('v1/stock-takes')
export class StockTakesController {
  constructor(private readonly takes: StockTakesService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Movements',
    id: 'listStockTakes',
    summary: 'List the stock-takes, each with its products',
    ok: StockTakePage,
    problems: ['cursor-malformed', 'validation-failed'],
  })
  list(@Current() ctx: RequestContext, @Query() query: StockTakeQuery): Promise<Page<StockTake>> {
    return this.takes.list(ctx, query);
  }

  @Post()
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'createStockTake',
    summary: 'Enter what was counted and measured, beside what the books held at that moment',
    description:
      'Each product by itself: the difference is posted to the stock-difference line, explained with a reason or unexplained without. A surplus of one product is never netted against a shortage of another; where the two are one mistake, correct the entry that was wrong. May be dated before later draws, not before a later change, gauge or count. What is entered afterwards for an earlier time has to say that it explains the count.',
    created: StockTake,
    problems: [
      'reason-needed',
      'not-found',
      'out-of-range',
      'unit-unknown',
      'time-ahead',
      'conflict',
      'insufficient-stock',
      'over-capacity',
      'later-posting-in-the-way',
      'period-closed',
      'period-not-open',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  take(@Current() ctx: RequestContext, @Body() body: NewStockTake): Promise<Answer<StockTake>> {
    return this.takes.take(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Movements', id: 'getStockTake', summary: 'One stock-take', ok: StockTake })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<StockTake> {
    return this.takes.get(ctx, id);
  }
}
