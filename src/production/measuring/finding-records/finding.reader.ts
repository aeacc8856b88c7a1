import { Injectable } from '@nestjs/common';
import type { BudgetLine } from '../../../metrology/uncertainty.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { Prisma } from '../../../generated/prisma/client.js';
import type { Standing } from './finding-kinds.js';

/** A strength finding as it is kept; strengths and uncertainties in % vol. */
export interface FindingRow {
  readonly id: string;
  readonly lotId: string;
  readonly lotCode: string;
  readonly compositionId: string;
  readonly standing: Standing;
  /** The finding that this one takes the place of. */
  readonly restates: string | null;
  readonly methodId: string;
  readonly methodVersion: string;
  readonly strengthPercent: number;
  readonly standardUncertainty: number;
  readonly coverageFactor: number;
  readonly expandedUncertainty: number;
  readonly degreesOfFreedom: number | null;
  readonly realExtractPlato: number | null;
  readonly budget: readonly BudgetLine[];
  readonly inputs: Record<string, unknown>;
  readonly warnings: readonly string[];
  readonly sampledAt: Date;
  readonly operationId: string | null;
  /** Its operation was reversed: it counts no more. */
  readonly reversed: boolean;
  readonly recordedAt: Date;
  readonly readings: readonly { readonly readingId: string; readonly use: string }[];
}

/** Reads findings for all other features. */
@Injectable()
export class FindingReader {
  async row(tx: Tx, producerId: string, id: string): Promise<FindingRow | undefined> {
    const rows = await this.#where(tx, producerId, Prisma.sql`f.id = ${id}::uuid`, 1);
    return rows.at(0);
  }

  /** Findings of these compositions, oldest first. */
  ofCompositions(tx: Tx, producerId: string, ids: readonly string[]): Promise<FindingRow[]> {
    return this.#where(tx, producerId, Prisma.sql`f.composition_id = ANY (${ids}::uuid[])`, null);
  }

  /** Compositions with a strength of record that was entered after an entry of the trail. */
  async compositionsFoundAfter(tx: Tx, producerId: string, sequence: bigint): Promise<string[]> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT DISTINCT composition_id AS id FROM finding
       WHERE producer_id = ${producerId}::uuid AND standing = 'of-record' AND trail_sequence > ${sequence}`;
    return rows.map(({ id }) => id);
  }

  ofLot(tx: Tx, producerId: string, lotId: string, after: string | null, take: number): Promise<FindingRow[]> {
    return this.#where(
      tx,
      producerId,
      Prisma.sql`f.lot_id = ${lotId}::uuid AND (${after}::uuid IS NULL OR f.id > ${after}::uuid)`,
      take,
    );
  }

  #where(tx: Tx, producerId: string, condition: Prisma.Sql, take: number | null): Promise<FindingRow[]> {
    return tx.$queryRaw<FindingRow[]>`
      SELECT f.id, f.lot_id AS "lotId", l.code AS "lotCode", f.composition_id AS "compositionId", f.standing, f.restates,
             f.method_id AS "methodId", f.method_version AS "methodVersion", f.strength_percent::float8 AS "strengthPercent",
             f.standard_uncertainty::float8 AS "standardUncertainty", f.coverage_factor::float8 AS "coverageFactor",
             f.expanded_uncertainty::float8 AS "expandedUncertainty", f.degrees_of_freedom::float8 AS "degreesOfFreedom",
             f.real_extract_plato::float8 AS "realExtractPlato", f.budget, f.inputs, f.warnings, f.sampled_at AS "sampledAt",
             f.operation_id AS "operationId",
             f.operation_id IS NOT NULL AND is_reversed(f.producer_id, f.operation_id) AS reversed, f.recorded_at AS "recordedAt",
             coalesce((SELECT jsonb_agg(jsonb_build_object('readingId', r.reading_id, 'use', r.use) ORDER BY r.use DESC, r.reading_id)
                         FROM finding_reading r WHERE r.producer_id = f.producer_id AND r.finding_id = f.id), '[]') AS readings
        FROM finding f JOIN lot l ON l.producer_id = f.producer_id AND l.id = f.lot_id
       WHERE f.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY f.id LIMIT ${take}`;
  }
}

/** The finding that counts of those of one composition: the latest of record, each taking the place of the one before. */
export const ofRecordOf = (findings: readonly FindingRow[]): FindingRow | undefined =>
  findings.filter(({ standing, reversed }) => standing === 'of-record' && !reversed).at(-1);

/** The last of record, whether it stands or was reversed: what the next one restates. */
export const lastOfRecord = (findings: readonly FindingRow[]): FindingRow | undefined =>
  findings.filter(({ standing }) => standing === 'of-record').at(-1);

export const latestProvisionalOf = (findings: readonly FindingRow[]): FindingRow | undefined =>
  findings.filter(({ standing, reversed }) => standing === 'provisional' && !reversed).at(-1);
