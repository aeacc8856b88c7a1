import { Injectable } from '@nestjs/common';
import { Clock } from '../../platform/clock.js';
import { SettingsReader } from '../../tenancy/producers/settings.reader.js';
import { Prisma } from '../../generated/prisma/client.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { FermentationReader, terminalRule } from '../measuring/fermentation/fermentation.reader.js';
import type { LotContents, VesselContents } from '../shared/contents.dto.js';
import { ContentsReader } from '../shared/contents.dto.js';
import type { LiquidRow, PackedRow, Watch } from './contents.mapper.js';
import { toLotContents, toVesselContents } from './contents.mapper.js';

/** Reads what is in vessels and what there is of lots from the balances, with the finding that counts, the last readings and the planned steps. */
@Injectable()
export class BalanceContentsReader extends ContentsReader {
  constructor(
    private readonly clock: Clock,
    private readonly settings: SettingsReader,
    private readonly fermentation: FermentationReader,
  ) {
    super();
  }

  async ofVessels(tx: Tx, producerId: string, ids: readonly string[]): Promise<ReadonlyMap<string, VesselContents>> {
    const rows = await this.liquids(tx, producerId, Prisma.sql`a.vessel_id = ANY (${[...ids]}::uuid[])`);
    const watch = await this.watch(tx, producerId, rows);
    return new Map(rows.map((row) => [row.vesselId, toVesselContents(row, watch)]));
  }

  async ofLots(tx: Tx, producerId: string, ids: readonly string[]): Promise<ReadonlyMap<string, LotContents>> {
    const rows = await this.liquids(
      tx,
      producerId,
      Prisma.sql`a.composition_id IN (SELECT k.id FROM composition k WHERE k.producer_id = ${producerId}::uuid AND k.lot_id = ANY (${[...ids]}::uuid[]))`,
    );
    const packed = await this.packed(tx, producerId, ids);
    const watch = await this.watch(tx, producerId, rows);
    return new Map(
      ids.map((id) => [
        id,
        toLotContents(
          rows.filter(({ lotId }) => lotId === id),
          packed.find(({ lotId }) => lotId === id),
          watch,
        ),
      ]),
    );
  }

  /** The moment, the producer's settings and how far the liquids have fermented. */
  async watch(tx: Tx, producerId: string, rows: readonly LiquidRow[]): Promise<Watch> {
    const settings = await this.settings.of(tx, producerId);
    const lots = [...new Set(rows.map(({ lotId }) => lotId))];
    return {
      now: this.clock.now(),
      gravityEveryHours: settings.gravityEveryHours,
      fermentations: await this.fermentation.ofLots(tx, producerId, lots, terminalRule(settings)),
    };
  }

  /** The liquid accounts with something in them; of all vessels of the producer where the condition is true. */
  liquids(tx: Tx, producerId: string, condition: Prisma.Sql): Promise<LiquidRow[]> {
    return tx.$queryRaw<LiquidRow[]>`
      SELECT a.vessel_id AS "vesselId", s.name AS "vesselName", s.capacity_l::float8 AS "capacityL", a.premises_id AS "premisesId",
             c.id AS "compositionId", c.lot_id AS "lotId", l.code AS "lotCode", l.category,
             b.litres::text AS litres, (b.lpa_fermented + b.lpa_added)::text AS lpa,
             f.strength_percent::float8 AS "strengthPercent", f.expanded_uncertainty::float8 AS "expandedUncertainty", f.standing,
             r.id AS "readingId", r.kind AS "readingKind", r.value::float8 AS "readingValue", r.unit AS "readingUnit", r.taken_at AS "takenAt",
             v.plan -> 'steps' AS "plannedSteps",
             coalesce((SELECT min(k.opened_at) FROM composition k WHERE k.producer_id = l.producer_id AND k.lot_id = l.id), l.created_at) AS "startedAt",
             ARRAY(SELECT p.step FROM process_step p WHERE p.producer_id = l.producer_id AND p.lot_id = l.id AND p.step IS NOT NULL AND p.outcome <> 'withdrawn'
                      AND NOT EXISTS (SELECT FROM process_step q WHERE q.producer_id = p.producer_id AND q.replaces = p.id)) AS "doneSteps"
        FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
        JOIN composition c ON c.producer_id = a.producer_id AND c.id = a.composition_id
        JOIN lot l ON l.producer_id = c.producer_id AND l.id = c.lot_id
        JOIN vessel s ON s.producer_id = a.producer_id AND s.id = a.vessel_id
        LEFT JOIN recipe_version v ON v.producer_id = l.producer_id AND v.id = l.recipe_version_id
        LEFT JOIN LATERAL (
          SELECT n.strength_percent, n.expanded_uncertainty, n.standing FROM finding n
           WHERE n.producer_id = c.producer_id AND n.composition_id = c.id
             AND (n.operation_id IS NULL OR NOT is_reversed(n.producer_id, n.operation_id))
           ORDER BY n.standing = 'of-record' DESC, n.id DESC LIMIT 1) f ON true
        LEFT JOIN LATERAL (
          SELECT n.id, n.kind, n.value, n.unit, n.taken_at FROM reading n
           WHERE n.producer_id = l.producer_id AND n.lot_id = l.id AND (n.vessel_id IS NULL OR n.vessel_id = a.vessel_id)
             AND NOT EXISTS (SELECT FROM reading_strike x WHERE x.producer_id = n.producer_id AND x.reading_id = n.id)
           ORDER BY n.taken_at DESC, n.id DESC LIMIT 1) r ON true
       WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock' AND a.kind = 'liquid' AND b.litres > 0 AND ${condition}
       ORDER BY s.name, s.id`;
  }

  /** Containers in stock of each lot: at premises, not those in transit. */
  private packed(tx: Tx, producerId: string, ids: readonly string[]): Promise<PackedRow[]> {
    return tx.$queryRaw<PackedRow[]>`
      SELECT k.lot_id AS "lotId", sum(floor(b.litres / k.nominal_litres))::float8 AS count, sum(b.litres)::text AS litres,
             sum(b.lpa_fermented + b.lpa_added)::text AS lpa
        FROM packaged_lot k JOIN account a ON a.producer_id = k.producer_id AND a.packaged_lot_id = k.id AND a.side = 'stock' AND a.kind = 'packaged'
        JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
       WHERE k.producer_id = ${producerId}::uuid AND k.lot_id = ANY (${[...ids]}::uuid[]) AND b.litres > 0
       GROUP BY k.lot_id`;
  }
}
