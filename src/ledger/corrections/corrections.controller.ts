import { Body, Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { NewReversal, ReversalAnswer } from './corrections.dto.js';
import { EventWriter } from './event-writer.js';

@Controller('v1/operations')
export class CorrectionsController {
  constructor(private readonly events: EventWriter) {}

  @Post(':id/reversal')
  @Access('production:write')
  @Documented({
    tag: 'Corrections',
    id: 'reverseOperation',
    summary: 'Reverse an operation',
    description:
      'Posts every line of it with its sign turned, linked to it, with a reason. The original stays. In an open period the reversal is dated as the event; a mistake in a closed period is reversed in the open one, on the line of earlier periods. What stands on the operation has to be reversed first. To enter the right event at once, give `corrects` with it.',
    created: ReversalAnswer,
    problems: [
      'not-found',
      'conflict',
      'insufficient-stock',
      'returned-since',
      'container-elsewhere',
      'container-holds-less',
      'vessel-in-use',
      'over-capacity',
      'later-posting-in-the-way',
      'assertion-in-the-way',
      'period-not-open',
      'period-closed',
    ],
  })
  reverse(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewReversal,
  ): Promise<Answer<ReversalAnswer>> {
    return this.events.reverse(ctx, id, body);
  }
}
