import { Body, Controller, Get, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { LotSteps, NewStep, ProcessStep } from './steps.dto.js';
import { StepsService } from './steps.service.js';

@Controller('v1/lots/:id/steps')
export class StepsController {
  constructor(private readonly steps: StepsService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Lots',
    id: 'getSteps',
    summary: 'Process steps of a lot: planned and done',
    description:
      'The steps of the recipe with their due times, counted from the first charge, and what was entered. The cautions for hot liquid, carbon dioxide, pressure and glass are the usual ones; local codes and licensed practice come first.',
    ok: LotSteps,
  })
  of(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<LotSteps> {
    return this.steps.of(ctx, id);
  }

  @Post()
  @Access('readings:write')
  @Documented({
    tag: 'Lots',
    id: 'enterStep',
    summary: 'Enter a process step as done',
    description:
      'With the number of the planned step, or the kind of one that was not planned; with its time and person. A wrong entry is replaced, or withdrawn, by another one; it stays in the list. Steps change nothing in the books: what goes into a vessel or comes out is entered as its own operation.',
    created: ProcessStep,
    problems: ['conflict', 'time-ahead', 'unit-unknown', 'out-of-range'],
  })
  enter(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Body() body: NewStep): Promise<Answer<ProcessStep>> {
    return this.steps.enter(ctx, id, body);
  }
}
