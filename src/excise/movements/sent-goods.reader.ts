import { Injectable } from '@nestjs/common';
import { Prisma } from '../../generated/prisma/client.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { MovementKind } from './movement-kinds.js';

/** Kinds of movement that need a proof of arrival or export. */
export const SENT_KINDS = ['dispatch-suspended', 'export'] as const satisfies readonly MovementKind[];
export const isSentKind = (kind: string): kind is (typeof SENT_KINDS)[number] =>
  (SENT_KINDS as readonly string[]).includes(kind);

/** Goods that were sent under suspension or exported, with what is known of them since. Decimals as texts. */
export interface SentRow {
  readonly id: string;
  readonly kind: (typeof SENT_KINDS)[number];
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly timeZone: string;
  readonly counterparty: string | null;
  readonly document: string | null;
  readonly litres: string;
  readonly lpa: string;
  /** Litres that came back, or that were entered as lost on the way. */
  readonly back: string;
  readonly proof: string | null;
  /** By the proof; null where it states no quantity. */
  readonly arrived: string | null;
  readonly refused: string | null;
}

/** Reads goods sent under suspension or exported: what came back, what was lost, what is proved. */
@Injectable()
export class SentGoodsReader {
  async row(tx: Tx, producerId: string, id: string): Promise<SentRow | undefined> {
    return (await this.#where(tx, producerId, Prisma.sql`o.id = ${id}::uuid`)).at(0);
  }

  /** Those without a proof of which something is still out, the oldest first. */
  open(tx: Tx, producerId: string): Promise<SentRow[]> {
    return this.#where(tx, producerId, Prisma.sql`r.proof IS NULL AND r.litres > r.back`);
  }

  /** Those of which less arrived than was sent, where the difference is not entered yet. */
  unsettled(tx: Tx, producerId: string): Promise<SentRow[]> {
    return this.#where(tx, producerId, Prisma.sql`r.litres - r.arrived > r.back`);
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<SentRow[]> {
    return tx.$queryRaw<SentRow[]>`
      SELECT o.id, r.kind, o.premises_id AS "premisesId", o.occurred_at AS "occurredAt", s.time_zone AS "timeZone", t.text AS counterparty,
             r.evidence ->> 'document' AS document, r.litres::text AS litres, r.back::text AS back, r.proof, r.arrived::text AS arrived,
             r.refused::text AS refused,
             (SELECT abs(sum(p.lpa_fermented + p.lpa_added))::text FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
               WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence AND a.side = 'nominal') AS lpa
        FROM (
          SELECT m.*, coalesce(x.proof, m.evidence ->> 'proof') AS proof, x.arrived_litres AS arrived, x.refused_litres AS refused, coalesce(b.litres, 0) AS back
            FROM movement m
            LEFT JOIN LATERAL (SELECT * FROM movement_proof x WHERE x.producer_id = m.producer_id AND x.operation_id = m.operation_id
                                ORDER BY x.id DESC LIMIT 1) x ON true
            LEFT JOIN LATERAL (
              SELECT sum(CASE WHEN n.kind = 'transit-loss' THEN n.litres
                              ELSE (SELECT sum((e ->> 'litres')::numeric) FROM jsonb_array_elements(q.document #> '{returnedFrom,releases}') e
                                     WHERE e ->> 'operationId' = m.operation_id::text) END) AS litres
                FROM movement n JOIN operation q ON q.producer_id = n.producer_id AND q.id = n.operation_id
               WHERE n.producer_id = m.producer_id AND n.kind IN ('return', 'transit-loss')
                 AND n.packaged_lot_id IS NOT DISTINCT FROM m.packaged_lot_id AND n.composition_id IS NOT DISTINCT FROM m.composition_id
                 AND n.material_lot_id IS NOT DISTINCT FROM m.material_lot_id
                 AND (n.kind = 'return' OR q.document ->> 'lostFrom' = m.operation_id::text) AND NOT is_reversed(q.producer_id, q.id)) b ON true
           WHERE m.producer_id = ${producerId}::uuid AND m.kind = ANY (${[...SENT_KINDS]})) r
        JOIN operation o ON o.producer_id = r.producer_id AND o.id = r.operation_id
        JOIN premises s ON s.producer_id = o.producer_id AND s.id = o.premises_id
        LEFT JOIN personal_text t ON t.producer_id = r.producer_id AND t.id = r.counterparty_text_id
       WHERE ${condition} AND NOT is_reversed(o.producer_id, o.id)
       ORDER BY o.occurred_at, o.sequence`;
  }
}
