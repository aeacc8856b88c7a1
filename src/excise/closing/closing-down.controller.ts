import { Body, Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import type { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { ClosingDown, NewClosingDown } from './closing-down.dto.js';
import { ClosingDownService } from './closing-down.service.js';

@Controller('v1/premises')
export class ClosingDownController {
  constructor(private readonly closing: ClosingDownService) {}

  @Post(':id/closing-down')
  @Access('periods:write')
  @Documented({
    tag: 'Periods',
    id: 'closePremisesDown',
    summary: 'Close premises down for good',
    description:
      'Refused while alcohol is in stock there, goods are on their way from or to them, a movement lacks its proof, or a period is open; each is named. The report of their last period is then the last one (`lastReport`), and the premises are retired. Nothing is entered there afterwards, and they are not brought back. What the authority has to be told, and when, is for local law.',
    created: ClosingDown,
    problems: ['in-use', 'conflict', 'idempotency-key-malformed', 'idempotency-key-reused'],
  })
  close(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewClosingDown,
  ): Promise<Answer<ClosingDown>> {
    return this.closing.close(ctx, id, body);
  }
}
