import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { PageQuery } from '../../../platform/pagination.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ChangeableResourceController } from '../../../tenancy/settings/resource.controller.js';
import {
  NewRecipe,
  NewRecipeVersion,
  RecipeChange,
  RecipePage,
  RecipeQuery,
  RecipeVersionPage,
  RecipeVersion,
  Recipe,
  RecipeWithPlan,
  VersionParam,
} from './recipes.dto.js';
import { RecipesService } from './recipes.service.js';

@Controller('v1/recipes')
export class RecipesController extends ChangeableResourceController({
  one: 'Recipe',
  many: 'Recipes',
  write: 'production:write',
  list: { summary: 'List the recipes, without their plans', query: RecipeQuery, page: RecipePage },
  get: { summary: 'One recipe with its latest version, and its ETag', answer: RecipeWithPlan },
  create: {
    summary: 'Add a recipe with its first version',
    description: 'Gravities, strength and yield are computed once from the fermentables of the plan, and kept.',
    body: NewRecipe,
    answer: RecipeWithPlan,
    problems: ['not-found', 'unit-unknown', 'scale-unknown', 'out-of-range', 'not-computable'],
  },
  change: {
    summary: 'Rename or retire a recipe',
    description: 'Needs If-Match with the ETag that was read. A change of plan is a new version.',
    body: RecipeChange,
    answer: Recipe,
    problems: ['precondition-required', 'precondition-failed'],
  },
}) {
  constructor(protected readonly service: RecipesService) {
    super();
  }

  @Get(':id/versions')
  @Access('read')
  @Documented({
    tag: 'Recipes',
    id: 'listRecipeVersions',
    summary: 'List the versions of a recipe',
    ok: RecipeVersionPage,
  })
  versions(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Query() query: PageQuery,
  ): Promise<Page<RecipeVersion>> {
    return this.service.versions(ctx, id, query);
  }

  @Post(':id/versions')
  @Access('production:write')
  @Documented({
    tag: 'Recipes',
    id: 'createRecipeVersion',
    summary: 'Add a version of the plan',
    description: 'A version never changes; lots name the version that they were made from.',
    created: RecipeVersion,
    problems: ['unit-unknown', 'scale-unknown', 'out-of-range', 'not-computable', 'conflict'],
  })
  addVersion(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewRecipeVersion,
  ): Promise<Answer<RecipeVersion>> {
    return this.service.addVersion(ctx, id, body.plan);
  }

  @Get(':id/versions/:number')
  @Access('read')
  @Documented({ tag: 'Recipes', id: 'getRecipeVersion', summary: 'One version of a recipe', ok: RecipeVersion })
  version(@Current() ctx: RequestContext, @Param() version: VersionParam): Promise<RecipeVersion> {
    return this.service.version(ctx, version);
  }
}
