import { Body, Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Answer } from '../producer-database/batch.js';
import { IssuedKey, NewOwnerKey } from './keys.dto.js';
import { OwnerKeysService } from './owner-keys.service.js';

@Controller('v1/producers')
export class OwnerKeysController {
  constructor(private readonly keys: OwnerKeysService) {}

  @Post(':id/owner-keys')
  @Access('operator')
  @Documented({
    tag: 'Keys',
    id: 'issueOwnerKey',
    summary: 'Issue a new owner key for a producer that lost its own',
    description:
      'For the operator of the platform, with the operator key as bearer, after the operator has made sure who asks. The key is shown in this answer and never again. It stands on the audit trail of the producer as issued by the operator. With `revokeOthers` every other owner key is revoked in the same write.',
    created: IssuedKey,
    problems: ['not-found'],
  })
  issue(@Param() { id }: IdParam, @Body() body: NewOwnerKey): Promise<Answer<IssuedKey>> {
    return this.keys.issue(id, body);
  }
}
