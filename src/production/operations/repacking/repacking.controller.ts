import { Body, Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { NewRelabelling, NewRepacking, RepackedAnswer } from './repacking.dto.js';
import { RepackingService } from './repacking.service.js';

const PROBLEMS = [
  'not-found',
  'time-ahead',
  'insufficient-stock',
  'assertion-in-the-way',
  'period-not-open',
  'period-closed',
] as const;

@Controller('v1/packaged-lots/:id')
export class RepackingController {
  constructor(private readonly repacking: RepackingService) {}

  @Post('repackings')
  @Access('production:write')
  @Documented({
    tag: 'Packaging',
    id: 'repack',
    summary: 'Pack containers into others',
    description:
      'Opens containers and fills their liquid into others: a new packaged lot with the strength and the label of the old one. The rest is posted to packaging loss. Containers under pressure burst: local codes and licensed practice decide.',
    created: RepackedAnswer,
    problems: PROBLEMS,
  })
  repack(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewRepacking,
  ): Promise<Answer<RepackedAnswer>> {
    return this.repacking.repack(ctx, id, body);
  }

  @Post('relabellings')
  @Access('production:write')
  @Documented({
    tag: 'Packaging',
    id: 'relabel',
    summary: 'Give containers another label or category',
    description:
      'A new packaged lot of the same containers with another declared strength, lot mark or category; a change of category is posted to the account `category-moves` of both categories. Whether a label may be changed is for local regulations to decide.',
    created: RepackedAnswer,
    problems: PROBLEMS,
  })
  relabel(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewRelabelling,
  ): Promise<Answer<RepackedAnswer>> {
    return this.repacking.relabel(ctx, id, body);
  }
}
