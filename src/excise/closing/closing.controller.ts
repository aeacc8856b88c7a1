import { Controller, Get, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import type { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { Closing, ClosingCheck, NilClosings } from './closing.dto.js';
import { ClosingService } from './closing.service.js';
import { NilClosingService } from './nil-closing.service.js';

@Controller('v1/periods')
export class ClosingController {
  constructor(
    private readonly closing: ClosingService,
    private readonly nil: NilClosingService,
  ) {}

  @Get(':id/closing-check')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'checkClosing',
    summary: 'Check of a period before it is closed: what is open, unexplained or late',
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
      'A period is closed after its end and in order. The audit trail must have no fault, and the closing figures must reconcile to the last decimal. The report is frozen. A closed period is never opened again; corrections are entered in a later period.',
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

  @Post(':id/nil-closings')
  @Access('periods:write')
  @Documented({
    tag: 'Periods',
    id: 'closeNilPeriods',
    summary: 'Close a period and all open ones before it, in which nothing was entered',
    description:
      'For months in which nothing happened. Every open period of the premises up to this one is closed in order, all of them or none. If a period has an entry, the answer is a refusal that names the first such period; close that one by itself.',
    created: NilClosings,
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
  closeNil(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<NilClosings>> {
    return this.nil.close(ctx, id);
  }
}
