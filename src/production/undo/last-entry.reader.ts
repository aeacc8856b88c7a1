import { Injectable } from '@nestjs/common';
import { Prisma } from '../../generated/prisma/client.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { UndoneKind } from './undo.dto.js';

/** An entry of the trail, with what of it still counts. */
export interface LastEntry {
  readonly sequence: bigint;
  readonly action: string;
  readonly recordedAt: Date;
  /** Undefined where it is of a kind that is not taken back this way. */
  readonly kind: UndoneKind | null;
  /** Of the first thing of it that counts. */
  readonly id: string | null;
  /** The entry takes something back itself, or all of it was taken back. */
  readonly settled: boolean;
}

/** Entries that are looked at, from the last one backwards. */
const LOOKED_AT = 2000;

/** Reads the last entry of a key or a person that still counts. */
@Injectable()
export class LastEntryReader {
  /** Undefined where nothing was entered since the moment. */
  async of(
    tx: Tx,
    producerId: string,
    by: { readonly keyId: string; readonly personId?: string },
    since: Date,
  ): Promise<LastEntry | undefined> {
    const ofActor =
      by.personId === undefined
        ? Prisma.sql`e.body -> 'actor' ->> 'key' = ${by.keyId}`
        : Prisma.sql`jsonb_path_exists(e.body, '$.**.person_id ? (@ == $p)', jsonb_build_object('p', ${by.personId}::text))`;
    const rows = await tx.$queryRaw<LastEntry[]>`
      WITH latest AS (
        SELECT t.sequence, t.recorded_at, body_json(t.body) AS body FROM trail_entry t
         WHERE t.producer_id = ${producerId}::uuid ORDER BY t.sequence DESC LIMIT ${LOOKED_AT}),
      own AS (
        SELECT e.sequence, e.recorded_at, e.body ->> 'action' AS action, e.body,
               -- An entry that strikes a reading and enters something in its place is not taken back in part.
               NOT coalesce(e.body -> 'rows' ? 'reading_strike' AND (e.body -> 'rows' ? 'reading' OR e.body ? 'operations'), false) AS whole
          FROM latest e
         WHERE e.recorded_at >= ${since}::timestamptz AND ${ofActor}),
      held AS (
        SELECT w.sequence, w.action, w.recorded_at, o.id AS operation, r.id AS reading, s.id AS step, p.id AS period,
               w.whole AND (jsonb_path_exists(w.body, '$.operations[*] ? (@.kind != "reversal")') OR w.body -> 'rows' ?| ARRAY['process_step', 'period']
                 OR (w.action = 'readings.create' AND w.body -> 'rows' ? 'reading')) AS undoable,
               w.action IN ('entries.undo', 'corrections.reverse', 'periods.withdraw') OR (w.action = 'readings.strike' AND w.whole) AS takes_back
          FROM own w
          LEFT JOIN LATERAL (SELECT n.id FROM operation n WHERE n.producer_id = ${producerId}::uuid AND n.trail_sequence = w.sequence
                        AND w.whole AND n.kind <> 'reversal' AND NOT is_reversed(n.producer_id, n.id) ORDER BY n.sequence LIMIT 1) o ON true
          LEFT JOIN LATERAL (SELECT n.id FROM reading n WHERE n.producer_id = ${producerId}::uuid AND n.trail_sequence = w.sequence AND w.action = 'readings.create'
                        AND NOT EXISTS (SELECT FROM reading_strike x WHERE x.producer_id = n.producer_id AND x.reading_id = n.id) LIMIT 1) r ON true
          LEFT JOIN LATERAL (SELECT n.id FROM process_step n WHERE n.producer_id = ${producerId}::uuid AND n.trail_sequence = w.sequence AND n.outcome <> 'withdrawn'
                        AND NOT EXISTS (SELECT FROM process_step x WHERE x.producer_id = n.producer_id AND x.replaces = n.id)) s ON true
          LEFT JOIN LATERAL (SELECT n.id FROM period n WHERE n.producer_id = ${producerId}::uuid AND n.trail_sequence = w.sequence
                        AND NOT EXISTS (SELECT FROM period_withdrawal x WHERE x.producer_id = n.producer_id AND x.period_id = n.id)) p ON true)
      SELECT h.sequence, h.action, h.recorded_at AS "recordedAt",
             CASE WHEN h.operation IS NOT NULL THEN 'operation' WHEN h.reading IS NOT NULL THEN 'reading' WHEN h.step IS NOT NULL THEN 'step'
                  WHEN h.period IS NOT NULL THEN 'period' END AS kind,
             coalesce(h.operation, h.reading, h.step, h.period) AS id,
             h.takes_back OR (coalesce(h.undoable, false) AND coalesce(h.operation, h.reading, h.step, h.period) IS NULL) AS settled
        FROM held h ORDER BY h.sequence DESC`;
    return rows.find(({ settled }) => !settled);
  }
}
