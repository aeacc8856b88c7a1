import { Controller, Get, Param, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../../tenancy/access/current.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { OperationPage, OperationQuery, Operation } from './operations.dto.js';
import { OperationsService } from './operations.service.js';

@Controller('v1/operations')
export class OperationsController {
  constructor(private readonly operations: OperationsService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Books',
    id: 'listOperations',
    summary: 'The operations of the books, in their order',
    description:
      'Each with its postings, which add to zero in litres and in pure alcohol, fermented and added. The links of a period report lead here.',
    ok: OperationPage,
    problems: ['cursor-malformed', 'validation-failed'],
  })
  list(@Current() ctx: RequestContext, @Query() query: OperationQuery): Promise<Page<Operation>> {
    return this.operations.list(ctx, query);
  }

  @Get(':id')
  @Access('read')
  @Documented({
    tag: 'Books',
    id: 'getOperation',
    summary: 'One operation, with the components of uncertainty of each posting',
    ok: Operation,
  })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Operation> {
    return this.operations.get(ctx, id);
  }
}
