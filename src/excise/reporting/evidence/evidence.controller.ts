import { Controller, Get, Param } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { OperationEvidence, PeriodEvidence } from './evidence.dto.js';
import { EvidenceService } from './evidence.service.js';

@Controller('v1')
export class EvidenceController {
  constructor(private readonly evidence: EvidenceService) {}

  @Get('operations/:id/evidence')
  @Access('read')
  @Documented({
    tag: 'Books',
    id: 'getOperationEvidence',
    summary: 'What an operation rests on',
    description:
      'The findings by which its strengths are known, what those are computed from, the readings, instruments and calibrations, and who took them, each with its link.',
    ok: OperationEvidence,
  })
  operation(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<OperationEvidence> {
    return this.evidence.operation(ctx, id);
  }

  @Get('periods/:id/evidence')
  @Access('read')
  @Documented({
    tag: 'Periods',
    id: 'getPeriodEvidence',
    summary: 'What the figures of a period rest on',
    description:
      'The annex of the report as data: which operations stand behind each line and each stock account, and what those rest on. For a closed period as the books stood when it was closed.',
    ok: PeriodEvidence,
  })
  period(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<PeriodEvidence> {
    return this.evidence.period(ctx, id);
  }
}
