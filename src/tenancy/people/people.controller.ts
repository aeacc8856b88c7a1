import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { PageQuery } from '../../platform/pagination.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../access/current.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { tagged } from '../settings/tagged.js';
import { ForgottenPerson, NewPerson, PeoplePage, Person } from './people.dto.js';
import { PeopleService } from './people.service.js';

@Controller('v1/people')
export class PeopleController {
  constructor(private readonly people: PeopleService) {}

  @Get()
  @Access('read')
  @Documented({ tag: 'People', id: 'listPeople', summary: 'List the people who read and work', ok: PeoplePage })
  list(@Current() ctx: RequestContext, @Query() query: PageQuery): Promise<Page<Person>> {
    return this.people.list(ctx, query);
  }

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'People',
    id: 'createPerson',
    summary: 'Add a person',
    description: 'Readings and operations name people by id; the name itself stands outside the audit trail.',
    created: Person,
  })
  create(@Current() ctx: RequestContext, @Body() body: NewPerson): Promise<Answer<Person>> {
    return this.people.create(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'People', id: 'getPerson', summary: 'One person', ok: Person })
  async get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<Person>> {
    return tagged(await this.people.get(ctx, id));
  }

  @Post(':id/forgetting')
  @Access('settings:write')
  @Documented({
    tag: 'People',
    id: 'forgetPerson',
    summary: 'Forget the name of a person',
    description:
      'The name and the salt of its hash are erased, here and in kept answers; readings and operations keep the id, and the audit trail still verifies. It cannot be undone. Free text that others wrote is not searched for the name.',
    created: ForgottenPerson,
    problems: ['conflict'],
  })
  forget(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<ForgottenPerson>> {
    return this.people.forget(ctx, id);
  }
}
