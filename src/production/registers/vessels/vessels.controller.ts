import { Controller } from '@nestjs/common';
import { ChangeableResourceController } from '../../../tenancy/settings/resource.controller.js';
import {
  NewVessel,
  NewVesselResult,
  Vessel,
  VesselChange,
  VesselPage,
  VesselQuery,
  VesselWithContents,
} from './vessels.dto.js';
import { VesselsService } from './vessels.service.js';

@Controller('v1/vessels')
export class VesselsController extends ChangeableResourceController({
  one: 'Vessel',
  many: 'Vessels',
  write: 'production:write',
  list: {
    summary: 'List the vessels, with what is in each now',
    description:
      'Contents by the balances of the books: litres, alcohol, strength, state, the last reading and the next thing due.',
    query: VesselQuery,
    page: VesselPage,
  },
  get: { summary: 'One vessel with what is in it now, and its ETag', answer: VesselWithContents },
  create: {
    summary: 'Add a vessel',
    description: 'A container for liquid at one of the premises.',
    body: NewVessel,
    answer: NewVesselResult,
    problems: ['not-found', 'unit-unknown', 'out-of-range', 'conflict'],
  },
  change: {
    summary: 'Change or retire a vessel',
    description: 'Needs If-Match with the ETag that was read. A vessel that holds liquid is not retired.',
    body: VesselChange,
    answer: Vessel,
    problems: ['precondition-required', 'precondition-failed', 'unit-unknown', 'out-of-range', 'in-use'],
  },
}) {
  constructor(protected readonly service: VesselsService) {
    super();
  }
}
