import type { Lot } from '../../generated/prisma/client.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { referenced } from '../shared/references.js';

/** The lot that something new goes to. @throws ProblemException `not-found`; `conflict` for a retired one */
export async function receivingLot(tx: Tx, producerId: string, lotId: string, pointer: string): Promise<Lot> {
  const lot = await referenced(tx, producerId, 'lot', lotId, pointer);
  if (lot.retiredAt !== null) {
    const detail = 'The lot is retired. Bring it back first, or name another lot.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer, rule: 'retired', detail }] });
  }
  return lot;
}
