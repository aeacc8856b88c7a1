import { Body, Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { DifferenceAnswer, NewDifference } from './difference.dto.js';
import { DifferenceService } from './difference.service.js';

@Controller('v1/operations')
export class DifferenceController {
  constructor(private readonly differences: DifferenceService) {}

  @Post(':id/difference')
  @Access('production:write')
  @Documented({
    tag: 'Corrections',
    id: 'postDifference',
    summary: 'Correct a wrong value by a difference',
    description:
      'For the volume of a charge or gauge, the volume or strength of a receipt, the loss of a transfer, the count of a packaging run, the water of a dilution, the liquid of an addition, and what an opening states, where later work rests on it: posts only the change, by share over what is still in stock down the genealogy, now; on the line of earlier periods where the mistake lies in a closed one. Measured draws and counted containers keep their litres, a later gauge settles what was wrong before it. Goods that have left are shown and not posted. With `preview` it answers 200 with what it would post, and stores nothing.',
    created: DifferenceAnswer,
    problems: [
      'not-found',
      'conflict',
      'not-computable',
      'out-of-range',
      'insufficient-stock',
      'later-posting-in-the-way',
      'period-not-open',
      'period-closed',
    ],
  })
  differ(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewDifference,
  ): Promise<Answer<DifferenceAnswer>> {
    return this.differences.differ(ctx, id, body);
  }
}
