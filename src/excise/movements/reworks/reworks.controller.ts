import { Body, Controller, Post } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { NewRework, ReworkAnswer } from './reworks.dto.js';
import { ReworksService } from './reworks.service.js';

@Controller('v1/reworks')
export class ReworksController {
  constructor(private readonly reworks: ReworksService) {}

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Movements',
    id: 'createRework',
    summary: 'Empty packed goods back into a vessel',
    description:
      'Into an empty vessel, as a composition of its own with the strength that the books have; used as material on both sides. What else it should become is a blend, a dilution or a filling afterwards.',
    created: ReworkAnswer,
    problems: [
      'not-found',
      'out-of-range',
      'time-ahead',
      'conflict',
      'vessel-in-use',
      'over-capacity',
      'insufficient-stock',
      'container-elsewhere',
      'container-holds-less',
      'assertion-in-the-way',
      'period-closed',
      'period-not-open',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  rework(@Current() ctx: RequestContext, @Body() body: NewRework): Promise<Answer<ReworkAnswer>> {
    return this.reworks.rework(ctx, body);
  }
}
