import { Injectable } from '@nestjs/common';
import { Prisma } from '../../../generated/prisma/client.js';
import { inDays } from '../../../platform/database/day-filter.js';
import type { DayFilter } from '../../../platform/pagination.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { KeptDoubt, LaterConfirmation, ReadingRemark } from './reading-flags.js';
import { flagsOf, withConfirmations } from './reading-flags.js';
import type { ReadingKind } from './reading-kinds.js';
import { measuredOf } from './reading-kinds.js';
import type { ReadingSource, Reading } from './readings.dto.js';

/** A reading as it is kept, with its strike where there is one. Decimals as texts. */
export interface ReadingRow {
  readonly id: string;
  readonly lotId: string;
  readonly compositionId: string | null;
  readonly vesselId: string | null;
  readonly kind: ReadingKind;
  readonly value: string | null;
  /** A unit, or the scale of a gravity. */
  readonly unit: string | null;
  readonly temperatureC: string | null;
  readonly degassed: boolean | null;
  readonly instrumentId: string | null;
  readonly personId: string | null;
  readonly source: ReadingSource;
  readonly text: string | null;
  readonly flags: readonly ReadingRemark[];
  readonly doubts: readonly KeptDoubt[];
  /** Doubts that were confirmed later. */
  readonly confirmed: readonly LaterConfirmation[];
  readonly takenAt: Date;
  /** Null while it is being written. */
  readonly recordedAt: Date | null;
  readonly struckFor: string | null;
  readonly struckNote: string | null;
  readonly replacedBy: string | null;
  readonly struckAt: Date | null;
}

/** Start of a page: after this moment and id. */
interface ReadingPosition {
  readonly takenAt: string;
  readonly id: string;
}

export interface ReadingFilter extends DayFilter {
  readonly kind?: ReadingKind;
  readonly vesselId?: string;
  readonly after?: ReadingPosition;
}

/** Time zone of the premises of a reading's lot. */
const ZONE_OF_LOT = Prisma.sql`(SELECT z.time_zone FROM lot y JOIN premises z ON z.producer_id = y.producer_id AND z.id = y.premises_id
   WHERE y.producer_id = r.producer_id AND y.id = r.lot_id)`;

/** Reads readings, struck ones included for all other features. */
@Injectable()
export class ReadingReader {
  async row(tx: Tx, producerId: string, id: string): Promise<ReadingRow | undefined> {
    const rows = await this.#where(tx, producerId, Prisma.sql`r.id = ${id}::uuid`, 1);
    return rows.at(0);
  }

  ofIds(tx: Tx, producerId: string, ids: readonly string[]): Promise<ReadingRow[]> {
    return this.#where(tx, producerId, Prisma.sql`r.id = ANY (${[...ids]}::uuid[])`, ids.length);
  }

  /** In the order of taking. */
  ofLot(tx: Tx, producerId: string, lotId: string, filter: ReadingFilter, take: number): Promise<ReadingRow[]> {
    const kind = filter.kind === undefined ? Prisma.empty : Prisma.sql`AND r.kind = ${filter.kind}`;
    const { after, vesselId = null } = filter;
    const later =
      after === undefined
        ? Prisma.empty
        : Prisma.sql`AND (r.taken_at, r.id) > (${after.takenAt}::timestamptz, ${after.id}::uuid)`;
    return this.#where(
      tx,
      producerId,
      Prisma.sql`r.lot_id = ${lotId}::uuid ${kind} ${later} AND (${vesselId}::uuid IS NULL OR r.vessel_id = ${vesselId}::uuid)
        AND ${inDays(Prisma.sql`r.taken_at`, ZONE_OF_LOT, filter)}`,
      take,
    );
  }

  /** One finding that rests on the reading. */
  async findingOn(tx: Tx, producerId: string, readingId: string): Promise<string | undefined> {
    const rows = await tx.$queryRaw<{ finding: string }[]>`
      SELECT finding_id AS finding FROM finding_reading
       WHERE producer_id = ${producerId}::uuid AND reading_id = ${readingId}::uuid ORDER BY finding_id LIMIT 1`;
    return rows.at(0)?.finding;
  }

  /** The composition that a lot was at a moment: the only one of which the books held liquid then, in the vessel if one is named. */
  async compositionAt(
    tx: Tx,
    producerId: string,
    lotId: string,
    at: Date,
    vesselId: string | undefined,
  ): Promise<string | undefined> {
    const vessel = vesselId === undefined ? Prisma.empty : Prisma.sql`AND a.vessel_id = ${vesselId}::uuid`;
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT c.id FROM composition c
        JOIN account a ON a.producer_id = c.producer_id AND a.composition_id = c.id AND a.side = 'stock' AND a.packaged_lot_id IS NULL
        JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id AND p.occurred_at <= ${at.toISOString()}::timestamptz
       WHERE c.producer_id = ${producerId}::uuid AND c.lot_id = ${lotId}::uuid ${vessel}
       GROUP BY c.id HAVING sum(p.litres) > 0 LIMIT 2`;
    return rows.length === 1 ? rows[0].id : undefined;
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql, take: number): Promise<ReadingRow[]> {
    return tx.$queryRaw<ReadingRow[]>`
      SELECT r.id, r.lot_id AS "lotId", r.composition_id AS "compositionId", r.vessel_id AS "vesselId", r.kind, r.value::text AS value, r.unit,
             r.temperature_c::text AS "temperatureC", r.degassed, r.instrument_id AS "instrumentId", r.person_id AS "personId", r.source,
             t.text, r.flags, coalesce(r.doubts, '[]') AS doubts,
             coalesce((SELECT jsonb_agg(jsonb_strip_nulls(jsonb_build_object('code', c.code, 'keyId', c.key_id, 'personId', c.person_id)))
                         FROM reading_confirmation c WHERE c.producer_id = r.producer_id AND c.reading_id = r.id), '[]') AS confirmed, r.taken_at AS "takenAt", r.recorded_at AS "recordedAt",
             s.reason_code AS "struckFor", n.text AS "struckNote", s.replaced_by AS "replacedBy", s.recorded_at AS "struckAt"
        FROM reading r
        LEFT JOIN personal_text t ON t.producer_id = r.producer_id AND t.id = r.text_id
        LEFT JOIN reading_strike s ON s.producer_id = r.producer_id AND s.reading_id = r.id
        LEFT JOIN personal_text n ON n.producer_id = s.producer_id AND n.id = s.text_id
       WHERE r.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY r.taken_at, r.id LIMIT ${take}`;
  }
}

export const toReading = (row: ReadingRow): Reading => ({
  id: row.id,
  lotId: row.lotId,
  ...(row.compositionId === null ? {} : { compositionId: row.compositionId }),
  ...(row.vesselId === null ? {} : { vesselId: row.vesselId }),
  kind: row.kind,
  ...(row.value === null ? {} : measuredOf(row.kind, Number(row.value), row.unit ?? '')),
  ...(row.text === null ? {} : { text: row.text }),
  ...(row.temperatureC === null ? {} : { sampleTemperature: { value: Number(row.temperatureC), unit: 'Cel' } }),
  ...(row.degassed === null ? {} : { degassed: row.degassed }),
  ...(row.instrumentId === null ? {} : { instrumentId: row.instrumentId }),
  ...(row.personId === null ? {} : { personId: row.personId }),
  source: row.source,
  flags: flagsOf(row.flags, withConfirmations(row.doubts, row.confirmed)),
  takenAt: row.takenAt.toISOString(),
  ...(row.recordedAt === null ? {} : { recordedAt: row.recordedAt.toISOString() }),
  ...(row.struckFor === null
    ? {}
    : {
        struck: {
          reasonCode: row.struckFor,
          ...(row.struckNote === null ? {} : { note: row.struckNote }),
          ...(row.replacedBy === null ? {} : { replacedBy: row.replacedBy }),
          ...(row.struckAt === null ? {} : { recordedAt: row.struckAt.toISOString() }),
        },
      }),
});
