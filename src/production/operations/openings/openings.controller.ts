import { Body, Controller, Post } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { NewOpening, OpeningAnswer } from './openings.dto.js';
import { OpeningsService } from './openings.service.js';

@Controller('v1/openings')
export class OpeningsController {
  constructor(private readonly openings: OpeningsService) {}

  @Post()
  @Access('periods:write')
  @Documented({
    tag: 'Premises',
    id: 'openBooks',
    summary: 'Open the books of premises with what is in stock',
    description:
      'Once for each premises. Create the lots and vessels first. The producer states the strengths, with their uncertainty.',
    created: OpeningAnswer,
    problems: [
      'not-found',
      'conflict',
      'vessel-in-use',
      'over-capacity',
      'time-ahead',
      'period-not-open',
      'period-closed',
    ],
  })
  open(@Current() ctx: RequestContext, @Body() body: NewOpening): Promise<Answer<OpeningAnswer>> {
    return this.openings.open(ctx, body);
  }
}
