import { Controller, Get } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented } from '../../platform/openapi/documented.js';
import type { Page } from '../../platform/pagination.js';
import { REASONS } from './reason-codes.js';
import type { ReasonCode } from './reason-codes.dto.js';
import { ReasonCodePage } from './reason-codes.dto.js';

@Controller('v1/reason-codes')
export class ReasonCodesController {
  @Get()
  @Access('read')
  @Documented({
    tag: 'Movements',
    id: 'listReasonCodes',
    summary: 'The closed list of reasons, and what each needs',
    description:
      'A theft needs the number of the report, a destruction its method and a witness, another reason a text. How a reason counts for duty is in the setting `chargeableLosses`. Local law and licensed practice decide what has to be reported and proved.',
    ok: ReasonCodePage,
  })
  list(): Page<ReasonCode> {
    return {
      items: REASONS.map((reason) => ({ ...reason, uses: [...reason.uses], needs: [...reason.needs] })),
      next: null,
    };
  }
}
