import { Injectable } from '@nestjs/common';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';

export interface FilingRow {
  readonly id: string;
  /** As in 2026-03-12. */
  readonly filedOn: string;
  readonly reference: string;
  readonly amends: string | null;
  readonly personId: string | null;
  readonly keyId: string;
  readonly note: string | null;
}

/** A period whose figures were put right after its filing. */
export interface CorrectedFilingRow {
  readonly periodId: string;
  readonly premisesId: string;
  readonly premisesName: string;
  readonly startsOn: string;
  readonly endsBefore: string;
  readonly corrections: number;
  readonly since: Date;
}

/** A period that has ended and is not filed. */
export interface UnfiledRow {
  readonly id: string;
  readonly premisesId: string;
  readonly premisesName: string;
  readonly startsOn: string;
  readonly endsBefore: string;
  readonly timeZone: string;
  readonly closed: boolean;
}

/** Reads filings, and periods by them. */
@Injectable()
export class FilingsReader {
  /** Those of a period, the first one first. */
  of(tx: Tx, producerId: string, periodId: string): Promise<FilingRow[]> {
    return tx.$queryRaw<FilingRow[]>`
      SELECT f.id, f.filed_on::text AS "filedOn", f.reference, f.amends, f.person_id AS "personId", f.key_id AS "keyId", t.text AS note
        FROM filing f LEFT JOIN personal_text t ON t.producer_id = f.producer_id AND t.id = f.text_id
       WHERE f.producer_id = ${producerId}::uuid AND f.period_id = ${periodId}::uuid ORDER BY f.trail_sequence`;
  }

  unfiled(tx: Tx, producerId: string, now: Date): Promise<UnfiledRow[]> {
    return tx.$queryRaw<UnfiledRow[]>`
      SELECT p.id, p.premises_id AS "premisesId", s.name AS "premisesName", p.starts_on::text AS "startsOn", p.ends_before::text AS "endsBefore",
             p.time_zone AS "timeZone", EXISTS (SELECT FROM report r WHERE r.producer_id = p.producer_id AND r.period_id = p.id) AS closed
        FROM period p JOIN premises s ON s.producer_id = p.producer_id AND s.id = p.premises_id
       WHERE p.producer_id = ${producerId}::uuid AND p.ends_at <= ${now}::timestamptz
         AND NOT EXISTS (SELECT FROM filing f WHERE f.producer_id = p.producer_id AND f.period_id = p.id)
         AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id)
       ORDER BY p.starts_at`;
  }

  /**
   * Filed periods with a correction that was entered after their last filing. Those whose correction lies in a period that is filed by now are left
   * out: that report declares it.
   */
  corrected(tx: Tx, producerId: string): Promise<CorrectedFilingRow[]> {
    return tx.$queryRaw<CorrectedFilingRow[]>`
      SELECT p.id AS "periodId", p.premises_id AS "premisesId", s.name AS "premisesName", p.starts_on::text AS "startsOn",
             p.ends_before::text AS "endsBefore", count(*)::int AS corrections, min(o.recorded_at) AS since
        FROM (SELECT producer_id, period_id, max(trail_sequence) AS trail_sequence FROM filing
               WHERE producer_id = ${producerId}::uuid GROUP BY producer_id, period_id) f
        JOIN period p ON p.producer_id = f.producer_id AND p.id = f.period_id
        JOIN premises s ON s.producer_id = p.producer_id AND s.id = p.premises_id
        JOIN operation o ON o.producer_id = p.producer_id AND o.earlier_period_id = p.id AND o.trail_sequence > f.trail_sequence
       WHERE NOT EXISTS (
         SELECT FROM period q JOIN filing g ON g.producer_id = q.producer_id AND g.period_id = q.id
          WHERE q.producer_id = o.producer_id AND q.premises_id = p.premises_id AND o.occurred_at >= q.starts_at AND o.occurred_at < q.ends_at
            AND g.trail_sequence > o.trail_sequence)
       GROUP BY p.id, p.premises_id, s.name, p.starts_on, p.ends_before ORDER BY p.starts_on`;
  }
}
