import { ListOf } from '../../platform/openapi/list-of.js';
import { DayQuery } from '../../platform/pagination.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import { LotContents } from '../shared/contents.dto.js';
import { IsOwner } from '../shared/owner.js';
import { IsFlag, IsId, IsInstant, IsOneOf, IsPlainText, IsWholeNumber } from '../../platform/validation/fields.js';

const HIGHEST = 2147483647;

/** A version by the recipe's id and its number. */
export class RecipeVersionRef {
  @IsId()
  recipeId: string;

  @IsWholeNumber({ min: 1, max: HIGHEST }, { example: 1 })
  number: number;
}

export class NewLot {
  @Optional()
  @IsPlainText(
    { max: 40 },
    { description: 'Unique for the producer; left out, one is made of the day and a count.', example: '20260301-1' },
  )
  code?: string;

  @IsId({ description: 'Where it is made.' })
  premisesId: string;

  @Optional()
  @Nested(() => RecipeVersionRef, { description: 'The version that it is made from; or `recipeVersionId`.' })
  recipeVersion?: RecipeVersionRef;

  @Optional()
  @IsId()
  recipeVersionId?: string;

  @Optional()
  @IsPlainText(
    { max: 60 },
    { description: "The recipe's if it is left out; needed without a recipe.", example: 'cider' },
  )
  category?: string;

  @Optional()
  @IsId({ description: 'Who chose the category, on which the class for duty rests; the key is kept in any case.' })
  personId?: string;

  @Optional()
  @IsOwner({
    description:
      'The business whose liquid it is, by its name, where it is made or kept for another; left out, the producer owns it.',
  })
  owner?: string;
}

export class LotChange {
  @IsFlag({ description: 'true retires the lot, once none of it is in stock; nothing is deleted.' })
  retired: boolean;
}

const LOT_STATES = ['in-process', 'finished', 'packed', 'empty'] as const;

export class LotQuery extends DayQuery {
  @Optional()
  @IsId({ description: 'Only those of these premises.' })
  premisesId?: string;

  @Optional()
  @IsPlainText(
    { max: 40 },
    { description: 'The lot with this code, in capital or small letters.', example: 'L-260301' },
  )
  code?: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Only those of this category.', example: 'cider' })
  category?: string;

  @Optional()
  @IsId({ description: 'Only those made from a version of this recipe.' })
  recipeId?: string;

  @Optional()
  @IsId({ description: 'Only those of which this vessel holds liquid now.' })
  vesselId?: string;

  @Optional()
  @IsOneOf(LOT_STATES, {
    description:
      '`in-process`: liquid without a strength of record, still fermenting or terminal; `finished`: liquid, all with one; `packed`: only containers; `empty`: nothing in stock.',
  })
  state?: (typeof LOT_STATES)[number];
}

export class LotRecipeVersion extends RecipeVersionRef {
  @IsId()
  id: string;
}

export class Lot {
  @IsId()
  id: string;

  @IsPlainText({ max: 40 })
  code: string;

  @IsId()
  premisesId: string;

  @Optional()
  @Nested(() => LotRecipeVersion)
  recipeVersion?: LotRecipeVersion;

  @IsPlainText({ max: 60 })
  category: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Left out for what the producer owns.' })
  owner?: string;

  @Optional()
  @IsId({ description: 'Who chose the category, if a person was named.' })
  personId?: string;

  @Optional()
  @IsId({ description: 'The key with which it was made.' })
  keyId?: string;

  @IsWholeNumber({ min: 1, max: HIGHEST })
  version: number;

  @IsInstant()
  createdAt: string;

  @Optional()
  @IsInstant()
  retiredAt?: string;
}

/** A lot with what there is of it now. */
export class LotWithContents extends Lot {
  @Nested(() => LotContents)
  contents: LotContents;
}

export class LotPage extends ListOf(LotWithContents) {}

/** A lot with the version that it was made from. */
export interface LotRow {
  readonly id: string;
  readonly code: string;
  readonly premisesId: string;
  readonly category: string;
  /** null for the producer's own. */
  readonly owner: string | null;
  readonly personId: string | null;
  readonly keyId: string | null;
  readonly recipeVersionId: string | null;
  readonly recipeId: string | null;
  readonly recipeNumber: number | null;
  readonly version: number;
  readonly createdAt: Date;
  readonly retiredAt: Date | null;
}

export const toLot = (row: LotRow): Lot => ({
  id: row.id,
  code: row.code,
  premisesId: row.premisesId,
  ...(row.recipeVersionId === null || row.recipeId === null || row.recipeNumber === null
    ? {}
    : { recipeVersion: { id: row.recipeVersionId, recipeId: row.recipeId, number: row.recipeNumber } }),
  category: row.category,
  ...(row.owner === null ? {} : { owner: row.owner }),
  ...(row.personId === null ? {} : { personId: row.personId }),
  ...(row.keyId === null ? {} : { keyId: row.keyId }),
  version: row.version,
  createdAt: row.createdAt.toISOString(),
  ...(row.retiredAt === null ? {} : { retiredAt: row.retiredAt.toISOString() }),
});
