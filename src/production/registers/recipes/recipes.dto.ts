import type { Recipe as RecipeRow, RecipeVersion as RecipeVersionRow } from '../../../generated/prisma/client.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { PageQuery } from '../../../platform/pagination.js';
import { Nested, Optional } from '../../../platform/validation/field.js';
import {
  IsFlag,
  IsId,
  IsInstant,
  IsPlainText,
  IsQueryInteger,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import type { Stored } from '../../../tenancy/settings/resource.service.js';
import { fromJson } from '../../../tenancy/settings/stored-json.js';
import { ExpectedFigures, RecipePlan } from './plan.dto.js';

const HIGHEST = 2147483647;

export class NewRecipe {
  @IsPlainText({ max: 120 }, { example: 'House ferment' })
  name: string;

  @IsPlainText(
    { max: 60 },
    { description: "A word of the producer's own, by which reports are grouped.", example: 'sugar-ferment' },
  )
  category: string;

  @Nested(() => RecipePlan)
  plan: RecipePlan;
}

export class RecipeQuery extends PageQuery {
  @Optional()
  @IsPlainText({ max: 120 }, { description: 'The recipe with this name, in capital or small letters.' })
  name?: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Only those of this category.', example: 'sugar-ferment' })
  category?: string;
}

export class NewRecipeVersion {
  @Nested(() => RecipePlan)
  plan: RecipePlan;
}

export class RecipeChange {
  @Optional()
  @IsPlainText({ max: 120 })
  name?: string;

  @Optional()
  @IsFlag({ description: 'true retires the recipe; nothing is deleted.' })
  retired?: boolean;
}

export class VersionParam {
  @IsId()
  id: string;

  @IsQueryInteger({ min: 1, max: HIGHEST })
  number: number;
}

export class RecipeVersion {
  @IsId()
  id: string;

  @IsId()
  recipeId: string;

  @IsWholeNumber({ min: 1, max: HIGHEST })
  number: number;

  @Nested(() => RecipePlan)
  plan: RecipePlan;

  @Nested(() => ExpectedFigures)
  expected: ExpectedFigures;

  @IsInstant()
  createdAt: string;
}

export class Recipe {
  @IsId()
  id: string;

  @IsPlainText({ max: 120 })
  name: string;

  @IsPlainText({ max: 60 })
  category: string;

  @IsWholeNumber({ min: 1, max: HIGHEST }, { description: 'Of name and standing; the plan has versions of its own.' })
  version: number;

  @IsInstant()
  createdAt: string;

  @Optional()
  @IsInstant()
  retiredAt?: string;
}

export class RecipeWithPlan extends Recipe {
  @Nested(() => RecipeVersion, { description: 'The latest version.' })
  latest: RecipeVersion;
}

export class RecipePage extends ListOf(Recipe) {}
export class RecipeVersionPage extends ListOf(RecipeVersion) {}

export type RecipeColumns = Pick<RecipeRow, 'name' | 'category'>;

export const toRecipe = (row: RecipeColumns & Stored): Recipe => ({
  id: row.id,
  name: row.name,
  category: row.category,
  version: row.version,
  createdAt: row.createdAt.toISOString(),
  ...(row.retiredAt === null ? {} : { retiredAt: row.retiredAt.toISOString() }),
});

export const toRecipeVersion = (row: Omit<RecipeVersionRow, 'producerId'>): RecipeVersion => ({
  id: row.id,
  recipeId: row.recipeId,
  number: row.number,
  plan: fromJson(RecipePlan, 'recipe_version.plan', row.plan),
  expected: fromJson(ExpectedFigures, 'recipe_version.expected', row.expected),
  createdAt: row.createdAt.toISOString(),
});
