import { Injectable } from '@nestjs/common';
import type { CurvePoint, TerminalRule } from '../../../alcoholometry/fermentation/fermentation-curve.js';
import type { StateFound } from '../../../alcoholometry/fermentation/fermentation-state.js';
import { fermentationState } from '../../../alcoholometry/fermentation/fermentation-state.js';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { Prisma } from '../../../generated/prisma/client.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { BEFORE_CHARGE_HOURS } from '../readings/original-readings.js';
import { platoOf } from '../readings/reading-doubts.js';

/** Gravity at which a lot is expected to stand still. */
interface ExpectedFinal {
  readonly plato: number;
  readonly standardUncertainty: number;
  readonly isPlanned: boolean;
}

/** The gravities of a lot since it was charged or last changed by sugar, water or a blend, and what they show. */
export interface Fermentation {
  readonly lotId: string;
  readonly points: readonly CurvePoint[];
  /** Time of the first point. */
  readonly begunAt: Date;
  readonly lastReadAt: Date;
  readonly expectedFinal: ExpectedFinal;
  readonly found: StateFound;
}

interface GravityRow {
  lotId: string;
  value: number;
  scale: GravityScale;
  takenAt: Date;
  kind: string | null;
  plannedFinal: { value: number; scale: GravityScale } | null;
}

export const terminalRule = ({
  terminalChangePlato = 0.25,
  terminalAfterHours = 48,
}: ProducerSettings): TerminalRule => ({
  changePlato: terminalChangePlato,
  hours: terminalAfterHours,
});

/** A plan's own final gravity within 0.7 °P; else what such worts do, as shares of the original extract. Common practice, no source. */
const PLANNED_U_PLATO = 0.7;
const USUAL: Readonly<Record<string, { readonly share: number; readonly u: number }>> = {
  malt: { share: 0.23, u: 0.08 },
  'sugar-wash': { share: -0.1, u: 0.08 },
  unknown: { share: 0.05, u: 0.2 },
};

function expectedFinalOf(originalPlato: number, { plannedFinal, kind }: GravityRow): ExpectedFinal {
  const planned = plannedFinal === null ? undefined : platoOf(plannedFinal);
  if (planned !== undefined) {
    return { plato: planned, standardUncertainty: PLANNED_U_PLATO, isPlanned: true };
  }
  const usual = USUAL[kind ?? 'unknown'] ?? USUAL.unknown;
  return {
    plato: usual.share * originalPlato,
    standardUncertainty: Math.max(0.3, usual.u * originalPlato),
    isPlanned: false,
  };
}

/** Reads how far lots have fermented, in one query for many lots. */
@Injectable()
export class FermentationReader {
  async ofLots(
    tx: Tx,
    producerId: string,
    lotIds: readonly string[],
    rule: TerminalRule,
  ): Promise<Map<string, Fermentation>> {
    const rows = await this.#gravities(tx, producerId, lotIds);
    const byLot = new Map<string, GravityRow[]>();
    for (const row of rows) {
      byLot.set(row.lotId, [...(byLot.get(row.lotId) ?? []), row]);
    }
    return new Map(
      [...byLot].flatMap(([lotId, own]) => {
        const found = fermentationOf(lotId, own, rule);
        return found === undefined ? [] : [[lotId, found]];
      }),
    );
  }

  /** Struck readings are left out, those from long before the charge, and those of a refractometer after the first: alcohol refracts as well. */
  #gravities(tx: Tx, producerId: string, lotIds: readonly string[]): Promise<GravityRow[]> {
    return tx.$queryRaw<GravityRow[]>`
      WITH lots AS (
        SELECT l.producer_id, l.id, v.plan ->> 'kind' AS kind, v.expected -> 'finalGravity' AS planned,
               (SELECT max(c.opened_at) FROM composition c JOIN operation o ON o.producer_id = c.producer_id AND o.id = c.operation_id
                 WHERE c.producer_id = l.producer_id AND c.lot_id = l.id
                   AND (c.kind IN ('dilution', 'blend', 'mixture', 'rework') OR jsonb_typeof(o.document -> 'fermentable') = 'object')) AS changed_at,
               (SELECT min(c.opened_at) FROM composition c WHERE c.producer_id = l.producer_id AND c.lot_id = l.id AND c.kind = 'charge') AS charged_at
          FROM lot l LEFT JOIN recipe_version v ON v.producer_id = l.producer_id AND v.id = l.recipe_version_id
         WHERE l.producer_id = ${producerId}::uuid AND ${Prisma.sql`l.id = ANY (${[...lotIds]}::uuid[])`}),
      kept AS (
        SELECT r.*, row_number() OVER (PARTITION BY r.lot_id ORDER BY r.taken_at, r.id) AS place
          FROM reading r JOIN lots ON lots.producer_id = r.producer_id AND lots.id = r.lot_id
         WHERE r.kind = 'gravity' AND (lots.changed_at IS NULL OR r.taken_at >= lots.changed_at)
           AND (lots.charged_at IS NULL OR r.taken_at >= lots.charged_at - make_interval(hours => ${BEFORE_CHARGE_HOURS}::int))
           AND NOT EXISTS (SELECT FROM reading_strike s WHERE s.producer_id = r.producer_id AND s.reading_id = r.id))
      SELECT k.lot_id AS "lotId", k.value::float8 AS value, k.unit AS scale, k.taken_at AS "takenAt", lots.kind, lots.planned AS "plannedFinal"
        FROM kept k JOIN lots ON lots.id = k.lot_id
        LEFT JOIN instrument i ON i.producer_id = k.producer_id AND i.id = k.instrument_id
       WHERE k.place = 1 OR i.kind IS DISTINCT FROM 'refractometer'
       ORDER BY k.lot_id, k.taken_at, k.id`;
  }
}

function fermentationOf(lotId: string, rows: readonly GravityRow[], rule: TerminalRule): Fermentation | undefined {
  const [first] = rows;
  const points = rows.flatMap((row) => {
    const plato = platoOf(row);
    return plato === undefined ? [] : [{ hours: (row.takenAt.getTime() - first.takenAt.getTime()) / 3_600_000, plato }];
  });
  if (points.length === 0) {
    return undefined;
  }
  const expectedFinal = expectedFinalOf(points[0].plato, first);
  return {
    lotId,
    points,
    begunAt: first.takenAt,
    lastReadAt: rows[rows.length - 1].takenAt,
    expectedFinal,
    found: fermentationState(points, rule, expectedFinal.isPlanned ? expectedFinal : undefined),
  };
}
