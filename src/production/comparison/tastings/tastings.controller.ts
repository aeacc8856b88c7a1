import { Body, Controller, Get, Param, Post } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { PageQuery } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ChangeableResourceController } from '../../../tenancy/settings/resource.controller.js';
import {
  NewTasting,
  NewTastingAnswer,
  PouringList,
  Tasting,
  TastingAnswer,
  TastingChange,
  TastingPage,
  TastingWithResult,
} from './tastings.dto.js';
import { TastingsService } from './tastings.service.js';

@Controller('v1/tastings')
export class TastingsController extends ChangeableResourceController({
  one: 'Tasting',
  many: 'Tastings',
  write: 'production:write',
  list: { summary: 'List the tastings', query: PageQuery, page: TastingPage },
  get: {
    summary: 'One tasting, with its result once it is closed',
    description:
      'The exact binomial test of ISO 4120 (triangle) or ISO 5495 (paired comparison), and the notes of the panel.',
    answer: TastingWithResult,
  },
  create: {
    summary: 'Prepare a blind tasting of two drinks',
    description:
      'Draws codes of three digits and a balanced order of serving. The answer shows codes only; the pouring list says what goes into which glass.',
    body: NewTasting,
    answer: Tasting,
    problems: ['not-found', 'out-of-range'],
  },
  change: {
    summary: 'Close a tasting',
    description:
      'Needs If-Match with the ETag that was read. A closed tasting shows its result and takes no more answers.',
    body: TastingChange,
    answer: Tasting,
    problems: ['precondition-required', 'precondition-failed', 'conflict'],
  },
}) {
  constructor(protected readonly service: TastingsService) {
    super();
  }

  @Get(':id/pouring-list')
  @Access('production:write')
  @Documented({
    tag: 'Tastings',
    id: 'getPouringList',
    summary: 'Which drink goes into the glass of which code',
    description: 'For the person who pours. Whoever has seen it does not taste.',
    ok: PouringList,
  })
  pouringList(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<PouringList> {
    return this.service.pouringList(ctx, id);
  }

  @Post(':id/answers')
  @Access('production:write')
  @Documented({
    tag: 'Tastings',
    id: 'answerTasting',
    summary: 'Enter the answer of an assessor',
    description: 'One answer to each serving: the code of the odd one, or of the one that has more of what was asked.',
    created: TastingAnswer,
    problems: ['not-found', 'conflict', 'already-exists', 'out-of-range'],
  })
  answer(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewTastingAnswer,
  ): Promise<Answer<TastingAnswer>> {
    return this.service.answer(ctx, id, body);
  }
}
