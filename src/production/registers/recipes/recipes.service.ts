import type { Stored } from '../../../tenancy/settings/resource.service.js';
import { named, SettingsResource } from '../../../tenancy/settings/resource.service.js';
import type { RecipeColumns } from './recipes.dto.js';
import { Injectable } from '@nestjs/common';
import type { RecipeVersion as RecipeVersionRow } from '../../../generated/prisma/client.js';
import type { Page, PageQuery } from '../../../platform/pagination.js';
import { pageOf } from '../../../platform/pagination.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { patternRule } from '../../../platform/validation/text-rules.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound, SettingsStore } from '../../../tenancy/settings/settings-store.js';
import { untilFree } from '../../shared/number-retry.js';
import { toJson } from '../../../tenancy/settings/stored-json.js';
import { positionOf } from '../../shared/cursor.js';
import { MaterialReader } from '../materials/material.reader.js';
import { missingReference } from '../../shared/references.js';
import { expectedOf } from './expected.js';
import type { PlannedFermentable, RecipePlan } from './plan.dto.js';
import { RecipeReader } from './recipe.reader.js';
import type {
  NewRecipe,
  RecipeChange,
  RecipeQuery,
  RecipeVersion,
  Recipe,
  RecipeWithPlan,
  VersionParam,
} from './recipes.dto.js';
import { toRecipeVersion, toRecipe } from './recipes.dto.js';

const VERSION_NUMBER = patternRule(/^[1-9]\d{0,8}$/, 'a number', { max: 9 });

@Injectable()
export class RecipesService extends SettingsResource<RecipeColumns, Recipe> {
  protected readonly table = 'recipe';
  protected readonly path = 'recipes';
  protected readonly toAnswer = toRecipe;

  constructor(
    store: SettingsStore,
    private readonly database: ProducerDatabase,
    private readonly recipes: RecipeReader,
    private readonly materials: MaterialReader,
  ) {
    super(store);
  }

  protected override where({ name, category }: RecipeQuery) {
    return { category, name: named(name) };
  }

  override get(ctx: RequestContext, id: string): Promise<RecipeWithPlan> {
    return this.database.read(ctx, async (tx) => {
      const row = await tx.row('recipe', { producerId: ctx.producerId, id });
      const latest = await this.recipes.latest(tx, ctx.producerId, id);
      return row === undefined || latest === undefined ? notFound() : { ...toRecipe(row), latest };
    });
  }

  async create(ctx: RequestContext, body: NewRecipe): Promise<Answer<RecipeWithPlan>> {
    const plan = await this.completed(ctx, body.plan);
    return this.add(ctx, { name: body.name, category: body.category }, (id, createdAt) => {
      const version = this.versionRow(id, 1, plan, createdAt);
      return {
        records: [{ table: 'recipeVersion', data: version }],
        more: { latest: toRecipeVersion(version) },
      };
    });
  }

  change(ctx: RequestContext, id: string, ifMatch: string | undefined, body: RecipeChange): Promise<Answer<Recipe>> {
    return this.alter(ctx, id, ifMatch, body);
  }

  async versions(ctx: RequestContext, recipeId: string, query: PageQuery): Promise<Page<RecipeVersion>> {
    const list = `recipeVersion/${recipeId}`;
    const after = query.cursor === undefined ? 0 : Number(positionOf(list, query.cursor, [VERSION_NUMBER])[0]);
    const { producerId } = ctx;
    const rows = await this.database.read(ctx, async (tx) => {
      const found = await tx.rows(
        'recipeVersion',
        { producerId, recipeId, number: { gt: after } },
        { orderBy: [['number', 'asc']], take: query.limit + 1 },
      );
      return found.length > 0 || (await tx.row('recipe', { producerId, id: recipeId })) !== undefined
        ? found
        : notFound();
    });
    return pageOf<RecipeVersionRow, RecipeVersion>(
      list,
      rows,
      query.limit,
      (row) => [String(row.number)],
      toRecipeVersion,
    );
  }

  async version(ctx: RequestContext, { id, number }: VersionParam): Promise<RecipeVersion> {
    const found = await this.store.find<RecipeVersionRow>(ctx, 'recipeVersion', { recipeId: id, number });
    return found === undefined ? notFound() : toRecipeVersion(found);
  }

  async addVersion(ctx: RequestContext, recipeId: string, given: RecipePlan): Promise<Answer<RecipeVersion>> {
    const plan = await this.completed(ctx, given, await this.row(ctx, recipeId));
    return untilFree(async () => {
      const latest = await this.database.read(ctx, (tx) => this.recipes.latest(tx, ctx.producerId, recipeId));
      const row = this.versionRow(recipeId, (latest?.number ?? 0) + 1, plan, this.store.now());
      const wire = toRecipeVersion(row);
      return this.store.create(ctx, {
        action: 'recipes.version',
        records: [{ table: 'recipeVersion', data: row }],
        facts: { ...wire },
        body: wire,
        headers: { location: `/v1/recipes/${recipeId}/versions/${row.number}` },
      });
    });
  }

  private versionRow(recipeId: string, number: number, plan: RecipePlan, createdAt: Date) {
    return {
      id: this.store.newId(),
      recipeId,
      number,
      plan: toJson(plan),
      expected: toJson(expectedOf(plan)),
      createdAt,
    };
  }

  /** The plan with what its materials say of themselves. */
  private async completed(ctx: RequestContext, plan: RecipePlan, recipe?: Stored): Promise<RecipePlan> {
    if (recipe !== undefined && recipe.retiredAt !== null) {
      throw new ProblemException('conflict', 'The recipe is retired; bring it back first.');
    }
    const { fermentables } = plan;
    if (fermentables === undefined) {
      return plan;
    }
    const ids = fermentables.flatMap(({ materialId }) => (materialId === undefined ? [] : [materialId]));
    const known = await this.database.read(ctx, (tx) => this.materials.ofIds(tx, ctx.producerId, ids));
    const complete = (each: PlannedFermentable, index: number): PlannedFermentable => {
      const pointer = `/plan/fermentables/${index}`;
      if (each.materialId === undefined) {
        return each;
      }
      const material = known.get(each.materialId);
      if (material === undefined) {
        throw missingReference(`${pointer}/materialId`);
      }
      if (material.fermentable !== undefined && material.fermentable !== each.kind) {
        const detail = `The material is ${material.fermentable}, not ${each.kind}.`;
        throw new ProblemException('not-computable', detail, {
          errors: [{ pointer: `${pointer}/kind`, rule: 'contradictory', detail, allowed: [material.fermentable] }],
        });
      }
      const extractYield = each.extractYield ?? material.extractYield;
      return { ...each, ...(extractYield === undefined ? {} : { extractYield }) };
    };
    return { ...plan, fermentables: fermentables.map(complete) };
  }
}
