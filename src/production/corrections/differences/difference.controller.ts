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
      'For a wrong value that later operations depend on, so that the operation cannot be reversed. It corrects the volume of a charge or gauge, the volume or strength of a receipt, the loss of a transfer, the count of a packaging run, the water of a dilution, the liquid of an addition, and the values of an opening. Only the change is posted, dated now, to the stock that the liquid has become, each place by its share. If the mistake lies in a closed period, it is posted to the account `earlier-period`. Measured draws and counted containers keep their litres; a gauge after the mistake ends its effect. Goods that are no longer in stock are shown and not posted. With `preview` the answer is 200 with the postings, and nothing is stored.',
    created: DifferenceAnswer,
    problems: [
      'not-found',
      'conflict',
      'not-computable',
      'out-of-range',
      'insufficient-stock',
      'over-capacity',
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
