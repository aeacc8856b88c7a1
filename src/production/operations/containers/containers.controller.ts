import { Body, Controller, Get, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ContainerPage, ContainerQuery, Container, EmptiesAnswer, NewEmpties } from './containers.dto.js';
import { ContainersService } from './containers.service.js';

@Controller('v1')
export class ContainersController {
  constructor(private readonly containers: ContainersService) {}

  @Get('containers')
  @Access('read')
  @Documented({
    tag: 'Movements',
    id: 'listContainers',
    summary: 'List where each container with a serial is',
    description:
      'By serial. Serials are given with a packaging run and with the movements of its containers, where they are wanted.',
    ok: ContainerPage,
    problems: ['cursor-malformed', 'validation-failed'],
  })
  list(@Current() ctx: RequestContext, @Query() query: ContainerQuery): Promise<Page<Container>> {
    return this.containers.list(ctx, query);
  }

  @Post('empties-returns')
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'createEmptiesReturn',
    summary: 'Enter containers that came back empty',
    description:
      'They can be filled again. A container that comes back part full is a movement of the kind return, with its serial and the measured litres.',
    created: EmptiesAnswer,
    problems: [
      'not-found',
      'time-ahead',
      'container-elsewhere',
      'period-closed',
      'period-not-open',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  returnEmpties(@Current() ctx: RequestContext, @Body() body: NewEmpties): Promise<Answer<EmptiesAnswer>> {
    return this.containers.returnEmpties(ctx, body);
  }
}
