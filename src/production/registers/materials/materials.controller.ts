import { Body, Controller, Get, Headers, Param, Patch, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { PageQuery } from '../../../platform/pagination.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { tagged } from '../../../tenancy/settings/tagged.js';
import { MaterialChange, MaterialPage, Material, NewMaterial } from './materials.dto.js';
import { MaterialsService } from './materials.service.js';

@Controller('v1/materials')
export class MaterialsController {
  constructor(private readonly materials: MaterialsService) {}

  @Get()
  @Access('read')
  @Documented({ tag: 'Materials', id: 'listMaterials', summary: 'List the materials', ok: MaterialPage })
  list(@Current() ctx: RequestContext, @Query() query: PageQuery): Promise<Page<Material>> {
    return this.materials.list(ctx, query);
  }

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Materials',
    id: 'createMaterial',
    summary: 'Add a material',
    description: 'What is bought or kept. What came in of it is a material lot.',
    created: Material,
    problems: ['unit-unknown', 'out-of-range'],
  })
  create(@Current() ctx: RequestContext, @Body() body: NewMaterial): Promise<Answer<Material>> {
    return this.materials.create(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Materials', id: 'getMaterial', summary: 'One material, with its ETag', ok: Material })
  async get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<Material>> {
    return tagged(await this.materials.get(ctx, id));
  }

  @Patch(':id')
  @Access('production:write')
  @Documented({
    tag: 'Materials',
    id: 'changeMaterial',
    summary: 'Change or retire a material',
    description: 'Needs If-Match with the ETag that was read. Plans that were made stay as they are.',
    ok: Material,
    ifMatch: true,
    problems: ['precondition-required', 'precondition-failed', 'unit-unknown', 'out-of-range'],
  })
  change(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Headers('if-match') ifMatch: string | undefined,
    @Body() body: MaterialChange,
  ): Promise<Answer<Material>> {
    return this.materials.change(ctx, id, ifMatch, body);
  }
}
