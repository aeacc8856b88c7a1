import { Injectable } from '@nestjs/common';
import { inWords } from '../../ledger/periods/period-days.js';
import { Exact } from '../../metrology/decimals.js';
import { dayText } from '../../platform/words.js';
import { differenceWords, isUnusual } from '../../production/operations/gauges/gauge-difference.js';
import { DoubtfulLabels } from '../../production/measuring/packed/doubtful-labels.reader.js';
import { MaterialStockReader } from '../../production/operations/material-stock/material-stock.reader.js';
import { quantityText } from '../../production/operations/material-stock/material-use.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { SettingsInForce } from '../../tenancy/producers/producers.dto.js';
import type { AttentionItem } from './attention.dto.js';
import { OfficerAttention } from './officer-attention.js';

const DAY_MS = 24 * 3_600_000;

interface CalibrationRow {
  readonly id: string;
  readonly name: string;
  /** Last day, as in 2026-12-31. */
  readonly validUntil: string;
}

interface PeriodRow {
  readonly premisesId: string;
  readonly premisesName: string;
  readonly id: string;
  readonly startsOn: string;
  readonly endsBefore: string;
  readonly endsAt: Date;
}

interface OpeningRow {
  readonly premisesId: string;
  readonly premisesName: string;
  readonly since: Date;
}

interface GaugeRow {
  readonly id: string;
  readonly premisesId: string;
  readonly occurredAt: Date;
  readonly vesselName: string;
  readonly bookLitres: string;
  readonly foundLitres: string;
  readonly standardUncertainty: number;
}

interface CountRow {
  readonly id: string;
  readonly premisesId: string;
  readonly stockTakeId: string;
  readonly occurredAt: Date;
  readonly litres: string;
  readonly product: string;
}

/** Finds what wants a person in the records: labels, calibrations, periods, proofs, and differences without a reason. */
@Injectable()
export class RecordsAttention {
  constructor(
    private readonly doubtfulLabels: DoubtfulLabels,
    private readonly materials: MaterialStockReader,
    private readonly officer: OfficerAttention,
  ) {}

  async items(tx: Tx, ctx: RequestContext, settings: SettingsInForce, now: Date): Promise<AttentionItem[]> {
    const { producerId } = ctx;
    return [
      ...(await this.#materials(tx, producerId)),
      ...(await this.#labels(tx, producerId)),
      ...(await this.#calibrations(tx, producerId, settings, now)),
      ...(await this.#gauges(tx, producerId, settings)),
      ...(await this.#counts(tx, producerId)),
      ...(await this.#periods(tx, producerId, now)),
      ...(await this.officer.items(tx, ctx, settings, now)),
    ];
  }

  /** Material lots of which more was taken than there was. */
  async #materials(tx: Tx, producerId: string): Promise<AttentionItem[]> {
    const lots = await this.materials.belowZero(tx, producerId);
    return lots.map(({ id, code, premisesId, unit, onHand }) => ({
      code: 'stock-below-zero',
      detail: `By the entries ${quantityText(onHand, unit)} of ${code} are on hand: more was taken than it had.`,
      settle: 'Check what was taken and from which lot, then count it.',
      links: [`/v1/material-lots/${id}/counts`, `/v1/material-lots/${id}`],
      premisesId,
    }));
  }

  /** Goods in stock whose label is doubtful, with those of the same run that were sent out. */
  async #labels(tx: Tx, producerId: string): Promise<AttentionItem[]> {
    const doubtful = await this.doubtfulLabels.inStock(tx, producerId);
    return doubtful.map(({ packagedLot: { id, lotMark, premisesId }, doubt, inStock, outgoing }) => ({
      code: doubt.code,
      detail: `Lot mark ${lotMark}, ${inStock} in stock and ${outgoing} sent out: ${doubt.detail}`,
      settle:
        'Label the goods anew, or find the strength again by a better method; for those that were sent out, see where they are.',
      links: [`/v1/packaged-lots/${id}/relabellings`, `/v1/packaged-lots/${id}`, `/v1/recalls?packagedLotId=${id}`],
      premisesId,
    }));
  }

  /** The latest calibration of each instrument in use. */
  async #calibrations(
    tx: Tx,
    producerId: string,
    { calibrationNoticeDays }: SettingsInForce,
    now: Date,
  ): Promise<AttentionItem[]> {
    const until = new Date(now.getTime() + calibrationNoticeDays * DAY_MS);
    const rows = await tx.$queryRaw<CalibrationRow[]>`
      SELECT i.id, i.name, c.valid_until::text AS "validUntil"
        FROM instrument i
        JOIN LATERAL (SELECT k.valid_until FROM calibration k WHERE k.producer_id = i.producer_id AND k.instrument_id = i.id
                       ORDER BY k.performed_on DESC, k.id DESC LIMIT 1) c ON true
       WHERE i.producer_id = ${producerId}::uuid AND i.retired_at IS NULL AND c.valid_until <= ${until}::date ORDER BY i.id`;
    return rows.map(({ id, name, validUntil }) => {
      const end = new Date(`${validUntil}T00:00:00Z`);
      const lapsed = end.getTime() + DAY_MS <= now.getTime();
      return {
        code: lapsed ? 'calibration-lapsed' : 'calibration-ending',
        detail: lapsed
          ? `The calibration of ${name} ended on ${dayText(end, 'UTC')}. Its readings are taken with the default uncertainty.`
          : `The calibration of ${name} ends on ${dayText(end, 'UTC')}.`,
        settle: 'Have it calibrated and enter the certificate, or retire the instrument.',
        links: [`/v1/instruments/${id}/calibrations`],
        at: end.toISOString(),
      };
    });
  }

  /** Gauges in open periods that are too far from the books and have no reason. */
  async #gauges(tx: Tx, producerId: string, { usualGaugeDifference }: SettingsInForce): Promise<AttentionItem[]> {
    const rows = await tx.$queryRaw<GaugeRow[]>`
      SELECT o.id, o.premises_id AS "premisesId", o.occurred_at AS "occurredAt", v.name AS "vesselName", g.book_litres::text AS "bookLitres",
             g.found_litres::text AS "foundLitres", g.standard_uncertainty::float8 AS "standardUncertainty"
        FROM period p
        JOIN operation o ON o.producer_id = p.producer_id AND o.premises_id = p.premises_id AND o.occurred_at >= p.starts_at AND o.occurred_at < p.ends_at
        JOIN gauge g ON g.producer_id = o.producer_id AND g.operation_id = o.id
        JOIN vessel v ON v.producer_id = g.producer_id AND v.id = g.vessel_id
       WHERE p.producer_id = ${producerId}::uuid AND o.reason_code IS NULL AND NOT is_reversed(o.producer_id, o.id)
         AND NOT EXISTS (SELECT FROM operation e WHERE e.producer_id = o.producer_id AND e.explains = o.id)
         AND NOT EXISTS (SELECT FROM report r WHERE r.producer_id = p.producer_id AND r.period_id = p.id)
         AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id)
       ORDER BY o.sequence`;
    return rows.flatMap((row) => {
      const gauged = {
        bookLitres: new Exact(row.bookLitres),
        foundLitres: new Exact(row.foundLitres),
        standardUncertaintyL: row.standardUncertainty,
      };
      return !isUnusual(gauged, usualGaugeDifference.value)
        ? []
        : [
            {
              code: 'gauge-difference-unexplained' as const,
              detail: `${row.vesselName}: ${differenceWords(gauged, usualGaugeDifference.value)}`,
              settle: 'Enter the event that explains it, or correct the gauge and give its reason.',
              links: [`/v1/operations/${row.id}`],
              at: row.occurredAt.toISOString(),
              premisesId: row.premisesId,
            },
          ];
    });
  }

  /** Products of stock-takes in open periods that differ from the books without a reason. */
  async #counts(tx: Tx, producerId: string): Promise<AttentionItem[]> {
    const rows = await tx.$queryRaw<CountRow[]>`
      SELECT o.id, o.premises_id AS "premisesId", c.stock_take_id AS "stockTakeId", o.occurred_at AS "occurredAt",
             (c.counted_litres - c.book_litres)::text AS litres,
             coalesce(k.lot_mark, m.code, (SELECT l.code FROM composition n JOIN lot l ON l.producer_id = n.producer_id AND l.id = n.lot_id
                                            WHERE n.producer_id = c.producer_id AND n.id = c.composition_id), '') AS product
        FROM period p
        JOIN operation o ON o.producer_id = p.producer_id AND o.premises_id = p.premises_id AND o.occurred_at >= p.starts_at AND o.occurred_at < p.ends_at
        JOIN stock_count c ON c.producer_id = o.producer_id AND c.operation_id = o.id
        LEFT JOIN packaged_lot k ON k.producer_id = c.producer_id AND k.id = c.packaged_lot_id
        LEFT JOIN material_lot m ON m.producer_id = c.producer_id AND m.id = c.material_lot_id
       WHERE p.producer_id = ${producerId}::uuid AND c.reason_code IS NULL AND c.counted_litres <> c.book_litres AND NOT is_reversed(o.producer_id, o.id)
         AND NOT EXISTS (SELECT FROM operation e WHERE e.producer_id = o.producer_id AND e.explains = o.id)
         AND NOT EXISTS (SELECT FROM report r WHERE r.producer_id = p.producer_id AND r.period_id = p.id)
         AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id)
       ORDER BY o.sequence`;
    return rows.map(({ premisesId, stockTakeId, occurredAt, litres, product }) => ({
      code: 'count-difference-unexplained',
      detail: `The stock-take of ${product} differs from the books by ${new Exact(litres).toFixed()} L without a reason.`,
      settle: 'Enter what explains it, or take stock again with a reason.',
      links: [`/v1/stock-takes/${stockTakeId}`],
      at: occurredAt.toISOString(),
      premisesId,
    }));
  }

  /** Open periods that have ended, and premises whose last period has ended without a next one. */
  async #periods(tx: Tx, producerId: string, now: Date): Promise<AttentionItem[]> {
    const ended = await tx.$queryRaw<PeriodRow[]>`
      SELECT p.id, p.premises_id AS "premisesId", s.name AS "premisesName", p.starts_on::text AS "startsOn", p.ends_before::text AS "endsBefore",
             p.ends_at AS "endsAt"
        FROM period p JOIN premises s ON s.producer_id = p.producer_id AND s.id = p.premises_id
       WHERE p.producer_id = ${producerId}::uuid AND p.ends_at <= ${now}::timestamptz
         AND NOT EXISTS (SELECT FROM report r WHERE r.producer_id = p.producer_id AND r.period_id = p.id)
         AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id)
       ORDER BY p.starts_at`;
    const uncovered = await tx.$queryRaw<OpeningRow[]>`
      SELECT p.premises_id AS "premisesId", s.name AS "premisesName", max(p.ends_at) AS since
        FROM period p JOIN premises s ON s.producer_id = p.producer_id AND s.id = p.premises_id
       WHERE p.producer_id = ${producerId}::uuid AND s.retired_at IS NULL
         AND NOT EXISTS (SELECT FROM period_withdrawal w WHERE w.producer_id = p.producer_id AND w.period_id = p.id)
       GROUP BY p.premises_id, s.name HAVING max(p.ends_at) <= ${now}::timestamptz`;
    return [
      ...ended.map((period): AttentionItem => ({
        code: 'period-to-close',
        detail: `The period of ${period.premisesName}, ${inWords(period)}, has ended and is open.`,
        settle: 'Look at the closing check, then close it.',
        links: [`/v1/periods/${period.id}/closing`, `/v1/periods/${period.id}/closing-check`],
        at: period.endsAt.toISOString(),
        premisesId: period.premisesId,
      })),
      ...uncovered.map(({ premisesId, premisesName, since }): AttentionItem => ({
        code: 'period-to-open',
        detail: `${premisesName} has no open period for today, so nothing can be entered there.`,
        settle: 'Open the next period, by `month` or `quarter`.',
        links: ['/v1/periods'],
        at: since.toISOString(),
        premisesId,
      })),
    ];
  }
}
