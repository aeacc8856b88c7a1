import { Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { PageQuery } from '../../platform/pagination.js';
import { Current } from '../access/current.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { ResourceController } from '../settings/resource.controller.js';
import { ForgottenPerson, NewPerson, PeoplePage, Person } from './people.dto.js';
import { PeopleService } from './people.service.js';

@Controller('v1/people')
export class PeopleController extends ResourceController({
  one: 'Person',
  many: 'People',
  write: 'production:write',
  list: { summary: 'List the people who read and work', query: PageQuery, page: PeoplePage },
  get: { summary: 'One person', answer: Person },
  create: {
    summary: 'Add a person',
    description: 'Readings and operations name people by id. The name itself is kept outside the audit trail.',
    body: NewPerson,
    answer: Person,
  },
}) {
  constructor(protected readonly service: PeopleService) {
    super();
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
    return this.service.forget(ctx, id);
  }
}
