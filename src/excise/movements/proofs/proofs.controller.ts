import { Body, Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { MovementProof, NewProof } from './proofs.dto.js';
import { ProofsService } from './proofs.service.js';

@Controller('v1/movements')
export class ProofsController {
  constructor(private readonly proofs: ProofsService) {}

  @Post(':id/proof')
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'proveMovement',
    summary: 'Enter the proof of an export or a dispatch under suspension',
    description:
      'The proof often comes after the period is closed; it changes no figure and is entered at any time. The latest one stands in the evidence of the movement. Until it comes, `GET /v1/attention` names the movement.',
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
