import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Tx } from '../producer-database/producer-database.js';

/** Sees that a person who is named is one of the producer's. @throws ProblemException `not-found` with the pointer */
export async function requirePerson(
  tx: Tx,
  producerId: string,
  id: string | undefined,
  pointer: string,
): Promise<void> {
  if (id === undefined) {
    return;
  }
  const found = await tx.row('person', { producerId, id });
  if (found === undefined) {
    const detail = 'Nothing is found under this id.';
    throw new ProblemException('not-found', detail, { errors: [{ pointer, rule: 'not-found', detail }] });
  }
}
