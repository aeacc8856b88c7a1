import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { Prisma } from '../../../generated/prisma/client.js';
import type { FigureSource } from '../../../production/shared/sources.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

export interface OperationFact {
  readonly id: string;
  readonly sequence: number;
  readonly kind: string;
  readonly occurredAt: Date;
  readonly lotCode: string | null;
  readonly reverses: number | null;
  readonly reasonCode: string | null;
  readonly supplier: string | null;
  readonly document: string | null;
  readonly sources: readonly FigureSource[];
  readonly personId: string | null;
  readonly trailSequence: number;
  readonly litres: string;
  readonly lpa: string;
  readonly compositions: readonly string[];
  readonly instrumentId: string | null;
  readonly calibrationId: string | null;
  readonly movementKind: string | null;
  readonly product: string | null;
  readonly count: number | null;
  readonly recipient: string | null;
}

export interface FindingFact {
  readonly id: string;
  readonly lotCode: string;
  readonly compositionId: string;
  readonly standing: string;
  readonly methodId: string;
  readonly methodVersion: string;
  readonly strengthPercent: number;
  readonly expandedUncertainty: number;
  readonly sampledAt: Date;
  readonly operationId: string | null;
  readonly trailSequence: number;
  readonly restates: string | null;
  /** Ids that its inputs name, findings or not. */
  readonly named: readonly string[];
  readonly certificate: string | null;
  readonly sources: readonly FigureSource[];
}

export interface ReadingFact {
  readonly findingId: string;
  readonly use: string;
  readonly id: string;
  readonly lotCode: string;
  readonly kind: string;
  readonly value: number | null;
  readonly unit: string | null;
  readonly temperatureC: number | null;
  readonly source: string;
  readonly takenAt: Date;
  readonly instrumentId: string | null;
  readonly personId: string | null;
  readonly calibrationId: string | null;
}

export interface InstrumentFact {
  readonly id: string;
  readonly kind: string;
  readonly name: string;
  readonly serialNumber: string | null;
}

export interface CalibrationFactRow {
  readonly id: string;
  readonly instrumentId: string;
  readonly performedOn: string;
  readonly validUntil: string;
  readonly certificate: string | null;
}

export interface MaterialLotFact {
  readonly id: string;
  readonly code: string;
  readonly material: string;
  readonly supplier: string | null;
  readonly operationId: string;
  readonly strengthPercent: number;
  readonly sources: readonly FigureSource[];
}

export interface FigureFact {
  readonly kind: string;
  readonly category: string;
  readonly side: 'stock' | 'nominal';
  readonly accountId: string;
  readonly operations: readonly number[];
}

/** The calibration that was known when a value was used: the latest up to the local day of the measurement that had been entered by then. */
const calibrationKnown = (instrument: string, measuredAt: string, usedAt: string): Prisma.Sql =>
  Prisma.raw(`(SELECT c.id FROM calibration c
     WHERE c.producer_id = s.producer_id AND c.instrument_id = ${instrument} AND c.created_at <= ${usedAt}
       AND c.performed_on <= (${measuredAt} AT TIME ZONE s.time_zone)::date
     ORDER BY c.performed_on DESC, c.id DESC LIMIT 1)`);

/** The ids that a finding names: in its inputs, and the one that it restates. */
const NAMED_BY_FINDING = Prisma.raw(`array_remove(
  ARRAY(SELECT m[1]::uuid FROM regexp_matches(f.inputs::text, '[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}', 'g') m) || f.restates, NULL)`);

/** The lot mark and container of what an operation packed or moved. */
const PRODUCT =
  Prisma.raw(`SELECT k.lot_mark || ', ' || k.container || ' of ' || trim_scale(k.nominal_litres)::text || ' L' AS name, k.count
  FROM packaged_lot k WHERE k.producer_id = o.producer_id`);

/** Reads what figures rest on from rows that are never changed, as the books stood at a head of the trail. */
@Injectable()
export class EvidenceReader {
  ofPeriod(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: PeriodRow): Promise<OperationFact[]> {
    return this.#operations(
      tx,
      producerId,
      Prisma.sql`o.premises_id = ${premisesId}::uuid AND o.occurred_at >= ${startsAt}::timestamptz AND o.occurred_at < ${endsAt}::timestamptz`,
    );
  }

  ofOperation(tx: Tx, producerId: string, id: string): Promise<OperationFact[]> {
    return this.#operations(tx, producerId, Prisma.sql`o.id = ${id}::uuid`);
  }

  /** Findings of these compositions up to an entry of the trail, with those that they are computed from. */
  findings(tx: Tx, producerId: string, compositions: readonly string[], head: number): Promise<FindingFact[]> {
    return tx.$queryRaw<FindingFact[]>`
      WITH RECURSIVE reached AS (
        SELECT f.id, ${NAMED_BY_FINDING} AS names FROM finding f
         WHERE f.producer_id = ${producerId}::uuid AND f.trail_sequence <= ${head} AND f.composition_id = ANY (${[...compositions]}::uuid[])
        UNION
        SELECT f.id, ${NAMED_BY_FINDING} AS names FROM reached r JOIN finding f ON f.id = ANY (r.names)
         WHERE f.producer_id = ${producerId}::uuid AND f.trail_sequence <= ${head})
      SELECT f.id, l.code AS "lotCode", f.composition_id AS "compositionId", f.standing, f.method_id AS "methodId", f.method_version AS "methodVersion",
             f.strength_percent::float8 AS "strengthPercent", f.expanded_uncertainty::float8 AS "expandedUncertainty", f.sampled_at AS "sampledAt",
             f.operation_id AS "operationId", f.trail_sequence::int AS "trailSequence", f.restates, ARRAY(SELECT unnest(r.names)::text) AS named,
             coalesce(f.inputs #>> '{certificate,number}', f.inputs #>> '{document,number}') AS certificate,
             coalesce(f.inputs -> 'sources', '[]') AS sources
        FROM reached r JOIN finding f ON f.producer_id = ${producerId}::uuid AND f.id = r.id
        JOIN lot l ON l.producer_id = f.producer_id AND l.id = f.lot_id
       ORDER BY f.trail_sequence, f.id`;
  }

  readings(tx: Tx, producerId: string, findings: readonly string[], head: number): Promise<ReadingFact[]> {
    return tx.$queryRaw<ReadingFact[]>`
      SELECT b.finding_id AS "findingId", b.use, r.id, l.code AS "lotCode", r.kind, r.value::float8 AS value, r.unit, r.temperature_c::float8 AS "temperatureC",
             r.source, r.taken_at AS "takenAt", r.instrument_id AS "instrumentId", r.person_id AS "personId",
             ${calibrationKnown('r.instrument_id', 'r.taken_at', 'f.recorded_at')} AS "calibrationId"
        FROM finding_reading b
        JOIN finding f ON f.producer_id = b.producer_id AND f.id = b.finding_id
        JOIN reading r ON r.producer_id = b.producer_id AND r.id = b.reading_id
        JOIN lot l ON l.producer_id = r.producer_id AND l.id = r.lot_id
        JOIN premises s ON s.producer_id = l.producer_id AND s.id = l.premises_id
       WHERE b.producer_id = ${producerId}::uuid AND b.finding_id = ANY (${[...findings]}::uuid[]) AND b.trail_sequence <= ${head}
       ORDER BY r.taken_at, r.id, b.finding_id, b.use`;
  }

  /** Instruments as the trail said of them up to a head: the records themselves may be renamed. */
  instruments(tx: Tx, producerId: string, ids: readonly string[], head: number): Promise<InstrumentFact[]> {
    return tx.$queryRaw<InstrumentFact[]>`
      WITH said AS MATERIALIZED (
        SELECT sequence, body::jsonb -> 'facts' AS facts FROM trail_entry
         WHERE producer_id = ${producerId}::uuid AND sequence <= ${head} AND body LIKE '%"action":"instruments.%')
      SELECT i.id, i.kind,
             coalesce((SELECT facts ->> 'name' FROM said WHERE facts ->> 'id' = i.id::text AND facts ? 'name' ORDER BY sequence DESC LIMIT 1), '') AS name,
             (SELECT facts ->> 'serialNumber' FROM said WHERE facts ->> 'id' = i.id::text AND facts ? 'serialNumber' ORDER BY sequence DESC LIMIT 1) AS "serialNumber"
        FROM instrument i WHERE i.producer_id = ${producerId}::uuid AND i.id = ANY (${[...ids]}::uuid[])
       ORDER BY i.id`;
  }

  /** Material lots of which these operations took, and that the findings name, each with its receipt. */
  materialLots(
    tx: Tx,
    producerId: string,
    operations: readonly number[],
    named: readonly string[],
  ): Promise<MaterialLotFact[]> {
    return tx.$queryRaw<MaterialLotFact[]>`
      SELECT l.id, l.code, m.name AS material, l.supplier, l.operation_id AS "operationId", l.strength_percent::float8 AS "strengthPercent",
             coalesce(o.document -> 'sources', '[]') AS sources
        FROM material_lot l JOIN material m ON m.producer_id = l.producer_id AND m.id = l.material_id
        JOIN operation o ON o.producer_id = l.producer_id AND o.id = l.operation_id
       WHERE l.producer_id = ${producerId}::uuid AND (l.id = ANY (${[...named]}::uuid[]) OR l.id IN (
         SELECT p.material_lot_id FROM posting p
          WHERE p.producer_id = ${producerId}::uuid AND p.operation_sequence = ANY (${[...operations]}::bigint[])))
       ORDER BY l.code COLLATE "C", l.id`;
  }

  calibrations(tx: Tx, producerId: string, ids: readonly string[]): Promise<CalibrationFactRow[]> {
    return tx.$queryRaw<CalibrationFactRow[]>`
      SELECT id, instrument_id AS "instrumentId", performed_on::text AS "performedOn", valid_until::text AS "validUntil", certificate
        FROM calibration WHERE producer_id = ${producerId}::uuid AND id = ANY (${[...ids]}::uuid[]) ORDER BY instrument_id, performed_on, id`;
  }

  /** Operations of a period by the account and category that they posted to. */
  figures(tx: Tx, producerId: string, { premisesId, startsAt, endsAt }: PeriodRow): Promise<FigureFact[]> {
    return tx.$queryRaw<FigureFact[]>`
      SELECT a.kind, coalesce(p.category, '') AS category, a.side, a.id AS "accountId",
             array_agg(DISTINCT p.operation_sequence::int ORDER BY p.operation_sequence::int) AS operations
        FROM account a JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
       WHERE a.producer_id = ${producerId}::uuid AND a.premises_id = ${premisesId}::uuid
         AND p.occurred_at >= ${startsAt}::timestamptz AND p.occurred_at < ${endsAt}::timestamptz
       GROUP BY a.side, a.kind, a.id, coalesce(p.category, '')
       ORDER BY a.side, a.kind COLLATE "C", a.id, 2`;
  }

  #operations(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<OperationFact[]> {
    return tx.$queryRaw<OperationFact[]>`
      SELECT o.id, o.sequence::int AS sequence, o.kind, o.occurred_at AS "occurredAt", l.code AS "lotCode", v.sequence::int AS reverses,
             coalesce(o.document -> 'sources', '[]') AS sources, o.reason_code AS "reasonCode", coalesce(o.document #>> '{receipt,supplier}', o.document ->> 'supplier') AS supplier,
             coalesce(o.document #>> '{receipt,document,number}', o.document #>> '{document,number}', o.document #>> '{evidence,document}',
                      CASE WHEN jsonb_typeof(o.document -> 'document') = 'string' THEN o.document ->> 'document' END) AS document,
             o.person_id AS "personId", o.trail_sequence::int AS "trailSequence",
             coalesce(n.litres, 0)::text AS litres, coalesce(n.lpa, 0)::text AS lpa, coalesce(n.compositions, '{}') AS compositions,
             i.id AS "instrumentId", ${calibrationKnown('i.id', 'o.occurred_at', 'o.recorded_at')} AS "calibrationId",
             m.kind AS "movementKind", coalesce(g.name, material.name || ' ' || material_lot.code) AS product, coalesce(m.count, g.count) AS count, t.text AS recipient
        FROM operation o
        JOIN premises s ON s.producer_id = o.producer_id AND s.id = o.premises_id
        LEFT JOIN lot l ON l.producer_id = o.producer_id AND l.id = o.lot_id
        LEFT JOIN operation v ON v.producer_id = o.producer_id AND v.id = o.reverses
        LEFT JOIN instrument i ON i.producer_id = o.producer_id AND i.id::text = o.document #>> '{asRead,instrumentId}'
        LEFT JOIN movement m ON m.producer_id = o.producer_id AND m.operation_id = o.id
        LEFT JOIN personal_text t ON t.producer_id = m.producer_id AND t.id = m.counterparty_text_id
        LEFT JOIN material_lot ON material_lot.producer_id = m.producer_id AND material_lot.id = m.material_lot_id
        LEFT JOIN material ON material.producer_id = m.producer_id AND material.id = material_lot.material_id
        LEFT JOIN LATERAL (
          SELECT name, NULL::int AS count FROM (${PRODUCT} AND k.id = m.packaged_lot_id) moved
           UNION ALL
          SELECT name, count FROM (${PRODUCT} AND k.lot_id = o.lot_id AND k.operation_id = o.id AND o.kind = 'packaging') packed) g ON true
        LEFT JOIN LATERAL (
          SELECT sum(p.litres) FILTER (WHERE a.side = 'stock') AS litres,
                 sum(p.lpa_fermented + p.lpa_added) FILTER (WHERE a.side = 'stock') AS lpa,
                 array_agg(DISTINCT coalesce(p.composition_id, k.composition_id)::text) FILTER (WHERE coalesce(p.composition_id, k.composition_id) IS NOT NULL) AS compositions
            FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
            LEFT JOIN packaged_lot k ON k.producer_id = p.producer_id AND k.id = p.packaged_lot_id
           WHERE p.producer_id = o.producer_id AND p.operation_sequence = o.sequence) n ON true
       WHERE o.producer_id = ${producerId}::uuid AND ${condition}
       ORDER BY o.sequence`;
  }
}
