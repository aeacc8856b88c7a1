import { Controller } from '@nestjs/common';
import { ChangeableResourceController } from '../../tenancy/settings/resource.controller.js';
import { Lot, LotChange, LotPage, LotQuery, NewLot } from './lots.dto.js';
import { LotsService } from './lots.service.js';

@Controller('v1/lots')
export class LotsController extends ChangeableResourceController({
  one: 'Lot',
  many: 'Lots',
  write: 'production:write',
  list: { summary: 'List the lots', query: LotQuery, page: LotPage },
  get: { summary: 'One lot, with its ETag', answer: Lot },
  create: {
    summary: 'Begin a lot',
    description: 'A lot is liquid with one history. It may be made from a version of a recipe, or from none.',
    body: NewLot,
    answer: Lot,
    problems: ['not-found', 'out-of-range', 'already-exists', 'conflict'],
  },
  change: {
    summary: 'Retire a lot, or bring it back',
    description: 'Needs If-Match with the ETag that was read. A lot that is still in stock is not retired.',
    body: LotChange,
    answer: Lot,
    problems: ['precondition-required', 'precondition-failed', 'in-use'],
  },
}) {
  constructor(protected readonly service: LotsService) {
    super();
  }
}
