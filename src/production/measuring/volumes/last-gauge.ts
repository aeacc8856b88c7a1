import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** Time of the last gauge of a composition that was not reversed. */
export async function lastGaugeOf(tx: Tx, producerId: string, compositionId: string): Promise<Date | undefined> {
  const rows = await tx.$queryRaw<{ at: Date | null }[]>`
    SELECT max(o.occurred_at) AS at
      FROM gauge g JOIN operation o ON o.producer_id = g.producer_id AND o.id = g.operation_id
     WHERE g.producer_id = ${producerId}::uuid AND g.composition_id = ${compositionId}::uuid AND NOT is_reversed(o.producer_id, o.id)`;
  return rows.at(0)?.at ?? undefined;
}
