import type { FieldError } from '../../platform/problems/problem.exception.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { RowOf, Tx, Where } from '../../platform/database/tx.js';

/** The tables whose records a body may name. */
type Named =
  'premises' | 'person' | 'vessel' | 'instrument' | 'material' | 'materialLot' | 'recipe' | 'recipeVersion' | 'lot';

export function findRow<T extends Named>(
  tx: Tx,
  producerId: string,
  table: T,
  where: { readonly [column: string]: string | number },
): Promise<RowOf<T> | undefined> {
  return tx.row(table, { producerId, ...where } as Where<T>);
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
export async function referenced<T extends Named>(
  tx: Tx,
  producerId: string,
  table: T,
  id: string,
  pointer: string,
): Promise<RowOf<T>> {
  const row = await findRow(tx, producerId, table, { id });
  if (row === undefined) {
    throw missingReference(pointer);
  }
  return row;
}

/** As `referenced`; something retired is refused for new work. @throws ProblemException also `conflict` */
export async function referencedInUse<T extends 'premises' | 'recipe'>(
  tx: Tx,
  producerId: string,
  table: T,
  id: string,
  pointer: string,
): Promise<RowOf<T>> {
  const row = await referenced(tx, producerId, table, id, pointer);
  if (row.retiredAt !== null) {
    const detail = 'It is retired. Bring it back first, or name another one.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'retired', detail }] });
  }
  return row;
}

/** Properties that cannot stand together, or one that is missing beside another. */
export const malformed = (...errors: readonly FieldError[]): ProblemException =>
  new ProblemException('validation-failed', errors.map(({ detail }) => detail).join(' '), { errors });
