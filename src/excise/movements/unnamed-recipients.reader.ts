import { Injectable } from '@nestjs/common';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { RECIPIENT_MISSING } from './recipients.js';

/** A movement without the recipient that the settings asked for when it was entered. */
export interface UnnamedRecipient {
  readonly id: string;
  readonly premisesId: string;
  readonly kind: string;
  readonly occurredAt: Date;
  readonly timeZone: string;
  /** Decimal as text. */
  readonly litres: string;
}

/** Reads movements that were flagged because nobody is named who received the goods. */
@Injectable()
export class UnnamedRecipientsReader {
  /** Those that stand, of a period; of all open periods if none is given. */
  of(tx: Tx, producerId: string, periodId: string | null): Promise<UnnamedRecipient[]> {
    return tx.$queryRaw<UnnamedRecipient[]>`
      SELECT o.id, o.premises_id AS "premisesId", m.kind, o.occurred_at AS "occurredAt", s.time_zone AS "timeZone", m.litres::text AS litres
        FROM period p
        JOIN operation o ON o.producer_id = p.producer_id AND o.premises_id = p.premises_id AND o.occurred_at >= p.starts_at AND o.occurred_at < p.ends_at
        JOIN movement m ON m.producer_id = o.producer_id AND m.operation_id = o.id
        JOIN premises s ON s.producer_id = o.producer_id AND s.id = o.premises_id
       WHERE p.producer_id = ${producerId}::uuid AND (p.id = ${periodId}::uuid OR ${periodId}::uuid IS NULL
               AND NOT EXISTS (SELECT FROM report r WHERE r.producer_id = p.producer_id AND r.period_id = p.id)
               AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id))
         AND o.document -> 'flags' @> ${JSON.stringify([{ code: RECIPIENT_MISSING.code }])}::jsonb AND NOT is_reversed(o.producer_id, o.id)
       ORDER BY o.sequence`;
  }
}
