import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../../tenancy/access/current.js';
import type { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { MovementPage, MovementQuery, Movement, NewMovement } from './movements.dto.js';
import { MovementsQuery } from './movements.query.js';
import { MovementsService } from './movements.service.js';

@Controller('v1/movements')
export class MovementsController {
  constructor(
    private readonly movements: MovementsService,
    private readonly query: MovementsQuery,
  ) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Movements',
    id: 'listMovements',
    summary: 'List the movements out of stock and back, in the order of the books',
    ok: MovementPage,
    problems: ['cursor-malformed', 'validation-failed'],
  })
  list(@Current() ctx: RequestContext, @Query() query: MovementQuery): Promise<Page<Movement>> {
    return this.query.list(ctx, query);
  }

  @Post()
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'createMovement',
    summary: 'Record goods that leave stock or come back',
    description:
      'Release, dispatch under suspension, export, sample, own use, each kind of loss, destruction, return. What comes back brings the alcohol that left with it, pro rata. Alcohol goes pro rata of what stands on the account. May be dated back within the open period; it is then checked against every later moment.',
    created: Movement,
    problems: [
      'not-found',
      'not-packed',
      'out-of-range',
      'unit-unknown',
      'time-ahead',
      'conflict',
      'insufficient-stock',
      'returned-since',
      'container-elsewhere',
      'container-holds-less',
      'assertion-in-the-way',
      'period-closed',
      'period-not-open',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  move(@Current() ctx: RequestContext, @Body() body: NewMovement): Promise<Answer<Movement>> {
    return this.movements.move(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Movements', id: 'getMovement', summary: 'One movement', ok: Movement })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Movement> {
    return this.query.get(ctx, id);
  }
}
