import type { Tx } from '../../tenancy/producer-database/producer-database.js';

/** The last entry of the trail: what rests on all of the books names it. */
export interface Head {
  readonly sequence: bigint;
  /** Hexadecimal. */
  readonly hash: string;
}

export async function headOf(tx: Tx, producerId: string): Promise<Head> {
  const head = await tx.rowThere('producerHead', { producerId });
  return { sequence: head.trailSequence, hash: Buffer.from(head.trailHash).toString('hex') };
}

export const headSequence = async (tx: Tx, producerId: string): Promise<bigint> =>
  (await headOf(tx, producerId)).sequence;
