import type {
  Instrument,
  Lot,
  Material,
  MaterialLot,
  Person,
  Premises,
  Recipe,
  RecipeVersion,
  Vessel,
} from '../../generated/prisma/client.js';
import type { FieldError } from '../../platform/problems/problem.exception.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';

interface RowOf {
  premises: Premises;
  person: Person;
  vessel: Vessel;
  instrument: Instrument;
  material: Material;
  materialLot: MaterialLot;
  recipe: Recipe;
  recipeVersion: RecipeVersion;
  lot: Lot;
}

/** The part of a Prisma delegate that is used here; the tables share it, their generated types do not. */
interface Finder {
  findFirst(args: { where: object }): Promise<unknown>;
}

export function findRow<Table extends keyof RowOf>(
  tx: Tx,
  producerId: string,
  table: Table,
  where: object,
): Promise<RowOf[Table] | null> {
  const finder = tx[table] as unknown as Finder;
  return finder.findFirst({ where: { producerId, ...where } }) as Promise<RowOf[Table] | null>;
}

export const missingReference = (pointer: string): ProblemException => {
  const detail = 'Nothing is found under this id.';
  return new ProblemException('not-found', detail, { errors: [{ pointer, rule: 'not-found', detail }] });
};

/**
 * The record that a body names by id.
 *
 * @throws ProblemException `not-found` with the pointer, alike for an unknown id and for another producer's
 */
export async function referenced<Table extends keyof RowOf>(
  tx: Tx,
  producerId: string,
  table: Table,
  id: string,
  pointer: string,
): Promise<RowOf[Table]> {
  const row = await findRow(tx, producerId, table, { id });
  if (row === null) {
    throw missingReference(pointer);
  }
  return row;
}

/** As `referenced`; something retired is refused for new work. @throws ProblemException also `conflict` */
export async function referencedInUse<Table extends 'premises' | 'recipe'>(
  tx: Tx,
  producerId: string,
  table: Table,
  id: string,
  pointer: string,
): Promise<RowOf[Table]> {
  const row = await referenced(tx, producerId, table, id, pointer);
  if (row.retiredAt !== null) {
    const detail = 'It is retired. Bring it back first, or name another one.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'retired', detail }] });
  }
  return row;
}

/** Properties that cannot stand together, or one that is missing beside another. */
export const malformed = (...errors: readonly FieldError[]): ProblemException =>
  new ProblemException('validation-failed', errors[0].detail, { errors });
