import { Controller, Get, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { Attention, AttentionQuery } from './attention.dto.js';
import { AttentionService } from './attention.service.js';

@Controller('v1/attention')
export class AttentionController {
  constructor(private readonly attention: AttentionService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Attention',
    id: 'listAttention',
    summary: 'List what wants a person now',
    description:
      'One list over vessels, readings, steps, labels, stock, proofs, calibrations and periods; each matter with how to settle it and where. Nothing is stored: a matter leaves the list when it is settled. How early it is named stands in the settings of the producer. Local codes and licensed practice come first.',
    ok: Attention,
  })
  list(@Current() ctx: RequestContext, @Query() query: AttentionQuery): Promise<Attention> {
    return this.attention.list(ctx, query);
  }
}
