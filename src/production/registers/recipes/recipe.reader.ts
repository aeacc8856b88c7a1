import { Injectable } from '@nestjs/common';
import type { Recipe } from '../../../generated/prisma/client.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { findRow } from '../../shared/references.js';
import type { RecipeVersion } from './recipes.dto.js';
import { toRecipeVersion } from './recipes.dto.js';

/** A version with what its recipe says. */
export interface PlannedVersion extends RecipeVersion {
  readonly recipe: Recipe;
}

/** Reads recipes and their versions for all other features. */
@Injectable()
export class RecipeReader {
  /** By its id, or by recipe and number. */
  async version(
    tx: Tx,
    producerId: string,
    which: { readonly id: string } | { readonly recipeId: string; readonly number: number },
  ): Promise<PlannedVersion | undefined> {
    const row = await findRow(tx, producerId, 'recipeVersion', which);
    if (row === undefined) {
      return undefined;
    }
    const recipe = await findRow(tx, producerId, 'recipe', { id: row.recipeId });
    return recipe === undefined ? undefined : { ...toRecipeVersion(row), recipe };
  }

  async latest(tx: Tx, producerId: string, recipeId: string): Promise<RecipeVersion | undefined> {
    const row = await tx.row('recipeVersion', { producerId, recipeId }, { orderBy: [['number', 'desc']] });
    return row === undefined ? undefined : toRecipeVersion(row);
  }
}
