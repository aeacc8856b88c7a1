import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { CertifiedBalance } from './learned-model.js';

/** So many of the latest are taken. */
const MOST_CERTIFICATES = 200;

/** Reads the certificates of a producer whose lots had their gravities read: what a mass balance learns its bias from. */
@Injectable()
export class CertifiedBalances {
  /** The latest of each composition but the one named, whose own certificate is no evidence for it. */
  of(tx: Tx, producerId: string, exceptCompositionId: string): Promise<CertifiedBalance[]> {
    return tx.$queryRaw<CertifiedBalance[]>`
      SELECT "certifiedPercent", budget, balance
        FROM (SELECT DISTINCT ON (f.composition_id) f.id, f.strength_percent::float8 AS "certifiedPercent", f.budget,
                     f.inputs -> 'massBalance' AS balance
                FROM finding f
               WHERE f.producer_id = ${producerId}::uuid AND f.method_id = 'certificate' AND f.inputs ? 'massBalance'
                 AND f.composition_id <> ${exceptCompositionId}::uuid
                 AND (f.operation_id IS NULL OR NOT is_reversed(f.producer_id, f.operation_id))
                 AND NOT EXISTS (
                   SELECT FROM jsonb_array_elements_text(f.inputs #> '{massBalance,readings}') AS used
                     JOIN reading_strike s ON s.producer_id = f.producer_id AND s.reading_id = used::uuid)
               ORDER BY f.composition_id, f.id DESC) latest
       ORDER BY id DESC LIMIT ${MOST_CERTIFICATES}`;
  }
}
