import { Controller } from '@nestjs/common';
import { PageQuery } from '../../platform/pagination.js';
import { ChangeableResourceController } from '../settings/resource.controller.js';
import { NewPremises, Premises, PremisesChange, PremisesPage } from './premises.dto.js';
import { PremisesService } from './premises.service.js';

@Controller('v1/premises')
export class PremisesController extends ChangeableResourceController({
  one: 'Premises',
  many: 'Premises',
  write: 'settings:write',
  list: { summary: 'List the licensed sites', query: PageQuery, page: PremisesPage },
  get: { summary: 'One licensed site, with its ETag', answer: Premises },
  create: {
    summary: 'Add a licensed site',
    description:
      'Periods, lots and reports belong to premises. The time zone cannot be changed later, because the limits of the periods follow from it.',
    body: NewPremises,
    answer: Premises,
  },
  change: {
    summary: 'Change or retire a licensed site',
    description: 'Needs If-Match with the ETag that was read.',
    body: PremisesChange,
    answer: Premises,
  },
}) {
  constructor(protected readonly service: PremisesService) {
    super();
  }
}
