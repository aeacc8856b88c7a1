import { Body, Controller, Post } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { BlendAnswer, NewBlend } from './blends.dto.js';
import { BlendsService } from './blends.service.js';

@Controller('v1/blends')
export class BlendsController {
  constructor(private readonly blends: BlendsService) {}

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'blendLots',
    summary: 'Blend liquids of several vessels',
    description:
      'Posts the components out of their vessels and the result into its own, with the volume change on mixing; pure alcohol is conserved to the last decimal. If every part has a strength of record, the computed mixture is the strength of record of the result; if one part is in process, the result is in process. Fresh wash charged onto a heel is a blend with `wash`. A component of another category is posted from its category to that of the result.',
    created: BlendAnswer,
    problems: [
      'not-found',
      'time-ahead',
      'later-posting-in-the-way',
      'period-not-open',
      'period-closed',
      'vessel-in-use',
      'over-capacity',
      'insufficient-stock',
      'out-of-range',
      'not-computable',
      'conflict',
    ],
  })
  blend(@Current() ctx: RequestContext, @Body() body: NewBlend): Promise<Answer<BlendAnswer>> {
    return this.blends.blend(ctx, body);
  }
}
