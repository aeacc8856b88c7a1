import { Body, Controller, Get, Headers, Param, Patch, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import { PageQuery } from '../../../platform/pagination.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { tagged } from '../../../tenancy/settings/tagged.js';
import {
  NewRecipe,
  NewRecipeVersion,
  RecipeChange,
  RecipePage,
  RecipeVersionPage,
  RecipeVersion,
  Recipe,
  RecipeWithPlan,
  VersionParam,
} from './recipes.dto.js';
import { RecipesService } from './recipes.service.js';

@Controller('v1/recipes')
export class RecipesController {
  constructor(private readonly recipes: RecipesService) {}

  @Get()
  @Access('read')
  @Documented({ tag: 'Recipes', id: 'listRecipes', summary: 'List the recipes, without their plans', ok: RecipePage })
  list(@Current() ctx: RequestContext, @Query() query: PageQuery): Promise<Page<Recipe>> {
    return this.recipes.list(ctx, query);
  }

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Recipes',
    id: 'createRecipe',
    summary: 'Add a recipe with its first version',
    description:
      'The plan is computed once: gravities, strength and yield that its fermentables lead to one to expect.',
    created: RecipeWithPlan,
    problems: ['not-found', 'unit-unknown', 'scale-unknown', 'out-of-range', 'not-computable'],
  })
  create(@Current() ctx: RequestContext, @Body() body: NewRecipe): Promise<Answer<RecipeWithPlan>> {
    return this.recipes.create(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({
    tag: 'Recipes',
    id: 'getRecipe',
    summary: 'One recipe with its latest version, and its ETag',
    ok: RecipeWithPlan,
  })
  async get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Answer<RecipeWithPlan>> {
    return tagged(await this.recipes.get(ctx, id));
  }

  @Patch(':id')
  @Access('production:write')
  @Documented({
    tag: 'Recipes',
    id: 'changeRecipe',
    summary: 'Rename or retire a recipe',
    description: 'Needs If-Match with the ETag that was read. A change of plan is a new version.',
    ok: Recipe,
    ifMatch: true,
    problems: ['precondition-required', 'precondition-failed'],
  })
  change(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Headers('if-match') ifMatch: string | undefined,
    @Body() body: RecipeChange,
  ): Promise<Answer<Recipe>> {
    return this.recipes.change(ctx, id, ifMatch, body);
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
    return this.recipes.versions(ctx, id, query);
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
    return this.recipes.addVersion(ctx, id, body.plan);
  }

  @Get(':id/versions/:number')
  @Access('read')
  @Documented({ tag: 'Recipes', id: 'getRecipeVersion', summary: 'One version of a recipe', ok: RecipeVersion })
  version(@Current() ctx: RequestContext, @Param() version: VersionParam): Promise<RecipeVersion> {
    return this.recipes.version(ctx, version);
  }
}
