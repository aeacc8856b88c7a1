import { Controller } from '@nestjs/common';
import { ChangeableResourceController } from '../../../tenancy/settings/resource.controller.js';
import { Material, MaterialChange, MaterialPage, MaterialQuery, NewMaterial } from './materials.dto.js';
import { MaterialsService } from './materials.service.js';

@Controller('v1/materials')
export class MaterialsController extends ChangeableResourceController({
  one: 'Material',
  many: 'Materials',
  write: 'production:write',
  list: { summary: 'List the materials', query: MaterialQuery, page: MaterialPage },
  get: { summary: 'One material, with its ETag', answer: Material },
  create: {
    summary: 'Add a material',
    description: 'Anything that is bought or kept for production. Each delivery of it is a material lot.',
    body: NewMaterial,
    answer: Material,
    problems: ['unit-unknown', 'out-of-range'],
  },
  change: {
    summary: 'Change or retire a material',
    description: 'Needs If-Match with the ETag that was read. Plans that were made stay as they are.',
    body: MaterialChange,
    answer: Material,
    problems: ['precondition-required', 'precondition-failed', 'unit-unknown', 'out-of-range'],
  },
}) {
  constructor(protected readonly service: MaterialsService) {
    super();
  }
}
