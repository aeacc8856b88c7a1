import { Controller, Get } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { RETURN_ADVICE } from '../rules/mapping.js';
import { ReturnMappingsService } from './return-mappings.service.js';
import { ChangeableResourceController } from '../../../tenancy/settings/resource.controller.js';
import {
  NewReturnMapping,
  ReturnMapping,
  ReturnMappingChange,
  ReturnMappingPage,
  ReturnMappingQuery,
  ReturnStartingPoint,
  ReturnStartingPointPage,
} from './return-mappings.dto.js';

/** Before the routes with an id, so that its path is not taken for one. */
@Controller('v1/return-mappings')
export class ReturnStartingPointsController {
  constructor(private readonly mappings: ReturnMappingsService) {}

  @Get('starting-points')
  @Access('read')
  @Documented({
    tag: 'ReturnMappings',
    id: 'listReturnStartingPoints',
    summary: 'Ready-made mappings to start from, each with its sources and their dates',
    description: `Each is a body for a mapping of one’s own. ${RETURN_ADVICE}`,
    ok: ReturnStartingPointPage,
  })
  startingPoints(): Page<ReturnStartingPoint> {
    return this.mappings.startingPoints();
  }
}

@Controller('v1/return-mappings')
export class ReturnMappingsController extends ChangeableResourceController({
  one: 'ReturnMapping',
  many: 'ReturnMappings',
  write: 'settings:write',
  list: {
    summary: 'List the mappings from the report to the lines of a form, every version',
    query: ReturnMappingQuery,
    page: ReturnMappingPage,
  },
  get: { summary: 'One version of a mapping, and its ETag', answer: ReturnMapping },
  create: {
    summary: 'Add a mapping, or a version of one',
    description: `From figures of the report to the lines of an authority’s form. A version never changes: a body with a name that exists is its next version. A line twice, a figure that two lines take without \`repeated\`, a category in no line and a category that you have not are refused. ${RETURN_ADVICE}`,
    body: NewReturnMapping,
    answer: ReturnMapping,
    problems: ['not-computable', 'out-of-range', 'already-exists'],
  },
  change: {
    summary: 'Retire a version of a mapping, or bring it back',
    description: 'Needs If-Match with the ETag that was read. Returns can still be made by a retired version.',
    body: ReturnMappingChange,
    answer: ReturnMapping,
    problems: ['precondition-required', 'precondition-failed'],
  },
}) {
  constructor(protected readonly service: ReturnMappingsService) {
    super();
  }
}
