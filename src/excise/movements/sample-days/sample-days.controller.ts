import { Body, Controller, Post } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { NewSampleDay, SampleDay } from './sample-days.dto.js';
import { SampleDaysService } from './sample-days.service.js';

@Controller('v1/sample-days')
export class SampleDaysController {
  constructor(private readonly days: SampleDaysService) {}

  @Post()
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'createSampleDay',
    summary: 'Post what the readings of a day took out',
    description:
      'The readings of a local day that need a sample and were not struck, by the vessel that they name and what the books have of their lot in it at that time, each with the volume of a reading from the settings: one movement of the kind sample for each vessel and what it held. A day is summed once; reverse its movements to sum it again.',
    created: SampleDay,
    problems: [
      'not-found',
      'conflict',
      'insufficient-stock',
      'assertion-in-the-way',
      'period-closed',
      'period-not-open',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  sum(@Current() ctx: RequestContext, @Body() body: NewSampleDay): Promise<Answer<SampleDay>> {
    return this.days.sum(ctx, body);
  }
}
