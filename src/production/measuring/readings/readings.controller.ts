import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import {
  NewConfirmation,
  NewReading,
  NewStrike,
  ReadingPage,
  ReadingQuery,
  Reading,
  StruckReading,
} from './readings.dto.js';
import { ReadingsService } from './readings.service.js';
import { StrikesService } from './strikes.service.js';

@Controller('v1')
export class ReadingsController {
  constructor(
    private readonly readings: ReadingsService,
    private readonly strikes: StrikesService,
  ) {}

  @Get('lots/:id/readings')
  @Access('read')
  @Documented({
    tag: 'Readings',
    id: 'listReadings',
    summary: 'List the readings of a lot, struck ones included',
    description: 'In the order of taking.',
    ok: ReadingPage,
  })
  list(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Query() query: ReadingQuery): Promise<Page<Reading>> {
    return this.readings.list(ctx, id, query);
  }

  @Post('lots/:id/readings')
  @Access('readings:write')
  @Documented({
    tag: 'Readings',
    id: 'createReading',
    summary: 'Enter a reading',
    description:
      'Needs a lot, a value and its scale; everything else has a default or stays unknown. Remarks and doubts stand in `flags`; a doubtful reading is stored all the same. If the value is right, send it with its code in `confirm`. A reading is never edited: it is struck and entered again. A gravity by refractometer is refused once the lot ferments.',
    created: Reading,
    problems: [
      'unit-unknown',
      'scale-unknown',
      'out-of-range',
      'not-computable',
      'time-ahead',
      'method-not-applicable',
    ],
  })
  create(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Body() body: NewReading): Promise<Answer<Reading>> {
    return this.readings.create(ctx, id, body);
  }

  @Get('readings/:id')
  @Access('read')
  @Documented({ tag: 'Readings', id: 'getReading', summary: 'One reading', ok: Reading })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Reading> {
    return this.readings.get(ctx, id);
  }

  @Post('readings/:id/confirmation')
  @Access('readings:write')
  @Documented({
    tag: 'Readings',
    id: 'confirmReading',
    summary: 'Confirm a doubtful reading on the second look',
    description:
      'Stores which doubts were looked at and are right, with the key and the person. The reading stays as it is.',
    created: Reading,
    problems: ['not-found', 'conflict'],
  })
  confirm(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewConfirmation,
  ): Promise<Answer<Reading>> {
    return this.readings.confirm(ctx, id, body);
  }

  @Post('readings/:id/strike')
  @Access('readings:write')
  @Documented({
    tag: 'Readings',
    id: 'strikeReading',
    summary: 'Strike a reading, and enter it again',
    description:
      'Only a reading that no finding rests on. The original stays visible, with the reason; strike and replacement are one write.',
    created: StruckReading,
    problems: [
      'unit-unknown',
      'scale-unknown',
      'out-of-range',
      'not-computable',
      'time-ahead',
      'method-not-applicable',
      'reading-in-use',
      'conflict',
    ],
  })
  strike(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewStrike,
  ): Promise<Answer<StruckReading>> {
    return this.strikes.strike(ctx, id, body);
  }
}
