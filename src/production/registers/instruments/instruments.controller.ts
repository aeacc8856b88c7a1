import { Body, Controller, Get, Headers, Param, Patch, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { PageQuery } from '../../../platform/pagination.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { tagged } from '../../../tenancy/settings/tagged.js';
import { CalibrationPage, Calibration, NewCalibration } from './calibrations.dto.js';
import { InstrumentChange, InstrumentPage, Instrument, NewInstrument } from './instruments.dto.js';
import { InstrumentsService } from './instruments.service.js';

@Controller('v1/instruments')
export class InstrumentsController {
  constructor(private readonly instruments: InstrumentsService) {}

  @Get()
  @Access('read')
  @Documented({ tag: 'Instruments', id: 'listInstruments', summary: 'List the instruments', ok: InstrumentPage })
  list(@Current() ctx: RequestContext, @Query() query: PageQuery): Promise<Page<Instrument>> {
    return this.instruments.list(ctx, query);
  }

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Instruments',
    id: 'createInstrument',
    summary: 'Add an instrument',
    description: 'What measures. How well it measures, and until when, is said by its calibrations.',
    created: Instrument,
    problems: ['scale-unknown', 'unit-unknown', 'out-of-range'],
  })
  create(@Current() ctx: RequestContext, @Body() body: NewInstrument): Promise<Answer<Instrument>> {
    return this.instruments.create(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Instruments', id: 'getInstrument', summary: 'One instrument, with its ETag', ok: Instrument })
  async get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<Instrument>> {
    return tagged(await this.instruments.get(ctx, id));
  }

  @Patch(':id')
  @Access('production:write')
  @Documented({
    tag: 'Instruments',
    id: 'changeInstrument',
    summary: 'Change or retire an instrument',
    description: 'Needs If-Match with the ETag that was read.',
    ok: Instrument,
    ifMatch: true,
    problems: [
      'precondition-required',
      'precondition-failed',
      'scale-unknown',
      'unit-unknown',
      'out-of-range',
      'in-use',
    ],
  })
  change(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Headers('if-match') ifMatch: string | undefined,
    @Body() body: InstrumentChange,
  ): Promise<Answer<Instrument>> {
    return this.instruments.change(ctx, id, ifMatch, body);
  }

  @Get(':id/calibrations')
  @Access('read')
  @Documented({
    tag: 'Instruments',
    id: 'listCalibrations',
    summary: 'List the calibrations of an instrument',
    ok: CalibrationPage,
  })
  calibrations(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Query() query: PageQuery,
  ): Promise<Page<Calibration>> {
    return this.instruments.calibrations(ctx, id, query);
  }

  @Post(':id/calibrations')
  @Access('production:write')
  @Documented({
    tag: 'Instruments',
    id: 'createCalibration',
    summary: 'Add a calibration',
    description:
      'A calibration is never edited: a later one takes its place from its own day on. Values are in the unit of the scale.',
    created: Calibration,
    problems: ['out-of-range', 'not-computable', 'time-ahead', 'conflict'],
  })
  calibrate(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewCalibration,
  ): Promise<Answer<Calibration>> {
    return this.instruments.calibrate(ctx, id, body);
  }
}
