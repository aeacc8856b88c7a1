import type { Type } from '@nestjs/common';
import { Body, Get, Headers, Param, Patch, Post, Query } from '@nestjs/common';
import type { Scope } from '../../platform/access.js';
import { Access } from '../../platform/access.js';
import type { RouteDocument } from '../../platform/openapi/documented.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import type { Page, PageQuery } from '../../platform/pagination.js';
import { Current } from '../access/current.js';
import type { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { tagged } from './tagged.js';

type Words = Pick<RouteDocument, 'summary' | 'description' | 'problems'>;

/** Description of a list, get and create resource: its names in the API, its scopes, and the shapes of each route. */
export interface ResourceRoutes<Q extends PageQuery, New extends object> {
  /** Singular and plural, as in the operation ids `createVessel` and `listVessels`; the plural is the tag too. */
  readonly one: string;
  readonly many: string;
  readonly read?: Scope;
  readonly write: Scope;
  readonly list: Words & { readonly query: Type<Q>; readonly page: Type<object> };
  readonly get: Words & { readonly answer: Type<object> };
  readonly create: Words & { readonly body: Type<New>; readonly answer: Type<object> };
}

export interface ChangeRoute<Change extends object> {
  readonly change: Words & { readonly body: Type<Change>; readonly answer: Type<object> };
}

/** The use cases behind a resource that is listed, read and created. */
export interface ResourceService<Q extends PageQuery, New extends object> {
  list(ctx: RequestContext, query: Q): Promise<Page<object>>;
  get(ctx: RequestContext, id: string): Promise<object>;
  create(ctx: RequestContext, body: New): Promise<Answer<object>>;
}

export interface ChangeService<Change extends object> {
  change(ctx: RequestContext, id: string, ifMatch: string | undefined, body: Change): Promise<Answer<object>>;
}

/** Types of a handler's parameters, by which Nest validates and documents them; a generic type leaves none at run time. */
const ParameterTypes =
  (...types: Type<object>[]): MethodDecorator =>
  (target, key) =>
    Reflect.defineMetadata('design:paramtypes', types, target, key);

/** Makes the base of a controller with the routes to list, create and get a resource. */
export function ResourceController<Q extends PageQuery, New extends object>(routes: ResourceRoutes<Q, New>) {
  const { one, many: tag, read = 'read', write, list, get, create } = routes;

  abstract class Resource {
    protected abstract readonly service: ResourceService<Q, New>;

    @Get()
    @Access(read)
    @Documented({ tag, id: `list${tag}`, ...words(list), ok: list.page })
    @ParameterTypes(Object, list.query)
    list(@Current() ctx: RequestContext, @Query() query: Q): Promise<Page<object>> {
      return this.service.list(ctx, query);
    }

    @Post()
    @Access(write)
    @Documented({ tag, id: `create${one}`, ...words(create), created: create.answer })
    @ParameterTypes(Object, create.body)
    create(@Current() ctx: RequestContext, @Body() body: New): Promise<Answer<object>> {
      return this.service.create(ctx, body);
    }

    @Get(':id')
    @Access(read)
    @Documented({ tag, id: `get${one}`, ...words(get), ok: get.answer })
    async get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<object> {
      const found = await this.service.get(ctx, id);
      return isVersioned(found) ? tagged(found) : found;
    }
  }
  return Resource;
}

/** As `ResourceController`, with the route to change or retire one, which needs If-Match. */
export function ChangeableResourceController<Q extends PageQuery, New extends object, Change extends object>(
  routes: ResourceRoutes<Q, New> & ChangeRoute<Change>,
) {
  const { one, many: tag, write, change } = routes;

  abstract class ChangeableResource extends ResourceController(routes) {
    protected abstract override readonly service: ResourceService<Q, New> & ChangeService<Change>;

    @Patch(':id')
    @Access(write)
    @Documented({ tag, id: `change${one}`, ...words(change), ok: change.answer, ifMatch: true })
    @ParameterTypes(Object, IdParam, Object, change.body)
    change(
      @Current() ctx: RequestContext,
      @Param() { id }: IdParam,
      @Headers('if-match') ifMatch: string | undefined,
      @Body() body: Change,
    ): Promise<Answer<object>> {
      return this.service.change(ctx, id, ifMatch, body);
    }
  }
  return ChangeableResource;
}

const words = ({ summary, description, problems }: Words): Words => ({ summary, description, problems });

const isVersioned = (found: object): found is { readonly version: number } =>
  'version' in found && typeof found.version === 'number';
