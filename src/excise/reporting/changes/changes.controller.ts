import { Controller, Get, Param } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { PeriodChanges } from './changes.dto.js';
import { ChangesService } from './changes.service.js';

@Controller('v1/periods')
export class ChangesController {
  constructor(private readonly changes: ChangesService) {}

  @Get(':id/changes')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'getPeriodChanges',
    summary: 'What changed since a period was closed',
    description:
      'The corrections that touch it, and what its report would be with them beside the frozen one, which stays as it is. Corrections of periods before it are not in it: those are asked for there.',
    ok: PeriodChanges,
  })
  of(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<PeriodChanges> {
    return this.changes.of(ctx, id);
  }
}
