import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { PageQuery } from '../../../platform/pagination.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { FindingPage, Finding, NewFinding } from './findings.dto.js';
import { NewReadingCorrection, ReadingCorrectionResult } from './reading-correction.dto.js';
import { ReadingCorrectionsService } from './reading-corrections.service.js';
import { FindingsQuery } from './findings.query.js';
import { FindingsService } from './findings.service.js';

@Controller('v1')
export class FindingsController {
  constructor(
    private readonly findings: FindingsService,
    private readonly query: FindingsQuery,
    private readonly corrections: ReadingCorrectionsService,
  ) {}

  @Get('lots/:id/findings')
  @Access('read')
  @Documented({ tag: 'Findings', id: 'listFindings', summary: 'List the strength findings of a lot', ok: FindingPage })
  list(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Query() query: PageQuery): Promise<Page<Finding>> {
    return this.query.list(ctx, id, query);
  }

  @Post('lots/:id/findings')
  @Access('production:write')
  @Documented({
    tag: 'Findings',
    id: 'findStrength',
    summary: 'Find the strength of a lot',
    description:
      'By one named method, with its uncertainty budget. Of record it declares the composition finished and its alcohol produced; provisional it posts what has fermented so far; supporting it posts nothing. Without a standing it is of record, or provisional while the gravities still fall or stand far above the plan; `flags` says so. A mass balance takes its model term from the certificates of other lots whose gravities were read, where there are any; `inputs.model` says from how many. The method `joined` joins several findings of one composition by least squares, with the errors that they share; `inputs` gives the weight and the deviation of each, and findings that disagree are not taken as of record. Gauge the vessel before the first finding of record. Whether a method is accepted for duty is for local regulations and licensed practice to decide.',
    created: Finding,
    problems: [
      'not-found',
      'time-ahead',
      'readings-disagree',
      'out-of-range',
      'not-computable',
      'method-not-applicable',
      'later-posting-in-the-way',
      'period-not-open',
      'period-closed',
      'conflict',
    ],
  })
  find(@Current() ctx: RequestContext, @Param() { id }: IdParam, @Body() body: NewFinding): Promise<Answer<Finding>> {
    return this.findings.find(ctx, id, body);
  }

  @Get('findings/:id')
  @Access('read')
  @Documented({
    tag: 'Findings',
    id: 'getFinding',
    summary: 'One finding with its budget and readings',
    ok: Finding,
  })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Finding> {
    return this.query.get(ctx, id);
  }

  @Post('readings/:id/correction')
  @Access('production:write')
  @Documented({
    tag: 'Findings',
    id: 'correctReading',
    summary: 'Correct a reading, and find again what rests on it',
    description:
      'One write: the reading is struck, entered again, and every finding that counts and rests on it is found again by the same method, dated now. Each finding answers what follows in its `restatement`. With `dryRun` the answer is the same with 200, and nothing is stored. Of a reading that no finding rests on, strike and replacement suffice.',
    created: ReadingCorrectionResult,
    problems: [
      'not-found',
      'unit-unknown',
      'scale-unknown',
      'out-of-range',
      'not-computable',
      'readings-disagree',
      'time-ahead',
      'method-not-applicable',
      'later-posting-in-the-way',
      'period-not-open',
      'conflict',
    ],
  })
  correct(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewReadingCorrection,
  ): Promise<Answer<ReadingCorrectionResult>> {
    return this.corrections.correct(ctx, id, body);
  }
}
