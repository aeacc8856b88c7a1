import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { NewArrival, NewTransit, TransitPage, TransitQuery, Transit } from './transits.dto.js';
import { TransitsService } from './transits.service.js';

@Controller('v1/transits')
export class TransitsController {
  constructor(private readonly transits: TransitsService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Movements',
    id: 'listTransits',
    summary: 'List what went from one premises to another, with what never arrived',
    ok: TransitPage,
    problems: ['cursor-malformed', 'validation-failed'],
  })
  list(@Current() ctx: RequestContext, @Query() query: TransitQuery): Promise<Page<Transit>> {
    return this.transits.list(ctx, query);
  }

  @Post()
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'createTransit',
    summary: 'Send goods to other premises',
    description:
      'Packed goods, or bulk of a finished lot, from the stock of one premises to that of another, with the duty status that they have. Until an arrival is entered they are in transit and the stock of the sender.',
    created: Transit,
    problems: [
      'not-found',
      'out-of-range',
      'unit-unknown',
      'time-ahead',
      'conflict',
      'finding-needed',
      'vessel-in-use',
      'over-capacity',
      'insufficient-stock',
      'assertion-in-the-way',
      'period-closed',
      'period-not-open',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  send(@Current() ctx: RequestContext, @Body() body: NewTransit): Promise<Answer<Transit>> {
    return this.transits.send(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Movements', id: 'getTransit', summary: 'One consignment between premises', ok: Transit })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Transit> {
    return this.transits.get(ctx, id);
  }

  @Post(':id/arrival')
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'createTransitArrival',
    summary: 'Enter what arrived',
    description:
      'Into the stock of the premises that it was sent to, bulk into an empty vessel under a lot of those premises; what did not arrive is a transit loss of the sender, with its reason. Both premises need an open period at that time.',
    created: Transit,
    problems: [
      'not-found',
      'out-of-range',
      'unit-unknown',
      'time-ahead',
      'conflict',
      'finding-needed',
      'vessel-in-use',
      'over-capacity',
      'insufficient-stock',
      'assertion-in-the-way',
      'period-closed',
      'period-not-open',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  arrive(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Body() body: NewArrival): Promise<Answer<Transit>> {
    return this.transits.arrive(ctx, id, body);
  }
}
