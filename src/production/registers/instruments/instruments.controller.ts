import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { PageQuery } from '../../../platform/pagination.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ChangeableResourceController } from '../../../tenancy/settings/resource.controller.js';
import { CalibrationPage, Calibration, NewCalibration } from './calibrations.dto.js';
import { InstrumentChange, InstrumentPage, Instrument, InstrumentQuery, NewInstrument } from './instruments.dto.js';
import { InstrumentsService } from './instruments.service.js';

@Controller('v1/instruments')
export class InstrumentsController extends ChangeableResourceController({
  one: 'Instrument',
  many: 'Instruments',
  write: 'production:write',
  list: { summary: 'List the instruments', query: InstrumentQuery, page: InstrumentPage },
  get: { summary: 'One instrument, with its ETag', answer: Instrument },
  create: {
    summary: 'Add an instrument',
    description: 'Its calibrations say how well it measures, and until when.',
    body: NewInstrument,
    answer: Instrument,
    problems: ['scale-unknown', 'unit-unknown', 'out-of-range'],
  },
  change: {
    summary: 'Change or retire an instrument',
    description: 'Needs If-Match with the ETag that was read.',
    body: InstrumentChange,
    answer: Instrument,
    problems: [
      'precondition-required',
      'precondition-failed',
      'scale-unknown',
      'unit-unknown',
      'out-of-range',
      'in-use',
    ],
  },
}) {
  constructor(protected readonly service: InstrumentsService) {
    super();
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
    return this.service.calibrations(ctx, id, query);
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
    return this.service.calibrate(ctx, id, body);
  }
}
