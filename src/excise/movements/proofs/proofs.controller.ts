import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { MovementProof, NewProof, OpenProofQuery, OpenProofs } from './proofs.dto.js';
import { ProofsService } from './proofs.service.js';

@Controller('v1')
export class ProofsController {
  constructor(private readonly proofs: ProofsService) {}

  @Get('open-proofs')
  @Access('read')
  @Documented({
    tag: 'Movements',
    id: 'listOpenProofs',
    summary: 'List the exports and dispatches under suspension whose proof has not come',
    description:
      'Each with the days since it went out, and together by recipient. The setting `proofDueDays` says from when it is overdue. What came back whole, or was lost whole, is not open.',
    ok: OpenProofs,
  })
  open(@Current() ctx: RequestContext, @Query() query: OpenProofQuery): Promise<OpenProofs> {
    return this.proofs.open(ctx, query);
  }

  @Post('movements/:id/proof')
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'proveMovement',
    summary: 'Enter the proof of an export or a dispatch under suspension',
    description:
      'The proof often comes after the period is closed; it changes no figure and is entered at any time. The latest one stands in the evidence of the movement. Where it states another quantity than was sent, the difference stands beside the movement, and `GET /v1/attention` names it until a return or a transit loss accounts for it. Until the proof comes, `GET /v1/open-proofs` lists the movement. A proof of goods that are not out is refused.',
    created: MovementProof,
    problems: ['conflict'],
  })
  prove(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewProof,
  ): Promise<Answer<MovementProof>> {
    return this.proofs.enter(ctx, id, body);
  }
}
