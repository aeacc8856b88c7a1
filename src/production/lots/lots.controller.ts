import { Controller } from '@nestjs/common';
import { ChangeableResourceController } from '../../tenancy/settings/resource.controller.js';
import { Lot, LotChange, LotPage, LotQuery, LotWithContents, NewLot } from './lots.dto.js';
import { LotsService } from './lots.service.js';

@Controller('v1/lots')
export class LotsController extends ChangeableResourceController({
  one: 'Lot',
  many: 'Lots',
  write: 'production:write',
  list: {
    summary: 'List the lots, with what there is of each now',
    description:
      'By the balances of the books: liquid in vessels with strength, state, the last reading and the next thing due; containers in stock.',
    query: LotQuery,
    page: LotPage,
  },
  get: { summary: 'One lot with what there is of it now, and its ETag', answer: LotWithContents },
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
