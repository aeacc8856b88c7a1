import { Controller, Get, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import type { Answer } from '../../tenancy/door/batch.js';
import type { RequestContext } from '../../tenancy/door/context.js';
import { Closing, ClosingCheck } from './closing.dto.js';
import { ClosingService } from './closing.service.js';

@Controller('v1/periods')
export class ClosingController {
  constructor(private readonly closing: ClosingService) {}

  @Get(':id/closing-check')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'checkClosing',
    summary: 'What is open, unexplained or late before a period is closed',
    ok: ClosingCheck,
  })
  check(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<ClosingCheck> {
    return this.closing.check(ctx, id);
  }

  @Post(':id/closing')
  @Access('periods:write')
  @Documented({
    tag: 'Periods',
    id: 'closePeriod',
    summary: 'Close a period for good',
    description:
      'After its end, in order, and only if trail, rows and the three roads to the closing figures hold to the last decimal. Freezes the report; there is no reopening, only corrections in a later period.',
    created: Closing,
    problems: [
      'period-closed',
      'period-not-ended',
      'conflict',
      'trail-broken',
      'books-do-not-balance',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  close(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<Closing>> {
    return this.closing.close(ctx, id);
  }
}
