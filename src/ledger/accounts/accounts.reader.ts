import { Injectable } from '@nestjs/common';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { FigureRow } from '../figures/figure.js';
import { COVERAGE_FACTOR } from '../figures/figure.js';

export interface AccountRow extends FigureRow {
  readonly id: string;
  readonly account: string;
  readonly kind: string;
  readonly premisesId: string;
  readonly owner: string;
  readonly dutyStatus: string;
  readonly stage: string | null;
  readonly compositionId: string | null;
  readonly vesselId: string | null;
  readonly materialLotId: string | null;
  readonly packagedLotId: string | null;
  readonly version: bigint;
  readonly lastOccurredAt: Date;
}

export interface AccountFilter {
  readonly premisesId?: string;
  readonly stage?: string;
  readonly vesselId?: string;
  readonly packagedLotId?: string;
  readonly materialLotId?: string;
  readonly nonzero?: boolean;
}

/** Reads stock accounts as they stand now. */
@Injectable()
export class AccountsReader {
  page(tx: Tx, producerId: string, filter: AccountFilter, after: string, take: number): Promise<AccountRow[]> {
    const { premisesId = null, stage = null, vesselId = null, packagedLotId = null, materialLotId = null } = filter;
    const { nonzero = false } = filter;
    return tx.$queryRaw<AccountRow[]>`
      SELECT a.id, a.key AS account, a.kind, a.premises_id AS "premisesId", a.owner, a.duty_status AS "dutyStatus", a.stage,
             a.composition_id AS "compositionId", a.vessel_id AS "vesselId", a.material_lot_id AS "materialLotId",
             a.packaged_lot_id AS "packagedLotId", b.version, b.last_occurred_at AS "lastOccurredAt",
             b.litres::text AS litres, b.lpa_fermented::text AS fermented, b.lpa_added::text AS added,
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.l, 0), 6)::text AS "expandedLitres",
             round(${COVERAGE_FACTOR}::numeric * coalesce(u.a, 0), 6)::text AS "expandedLpa"
        FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
        LEFT JOIN LATERAL (
          SELECT sqrt(sum(v.l * v.l)) AS l, sqrt(sum(v.a * v.a)) AS a
            FROM (SELECT sum(c.c_litres) AS l, sum(c.c_lpa) AS a
                    FROM posting p JOIN posting_component c
                      ON c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line
                   WHERE p.producer_id = a.producer_id AND p.account_id = a.id GROUP BY c.origin) v) u ON true
       WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock' AND a.key COLLATE "C" > ${after}
         AND (${premisesId}::uuid IS NULL OR a.premises_id = ${premisesId}::uuid) AND (${stage}::text IS NULL OR a.stage = ${stage})
         AND (${vesselId}::uuid IS NULL OR a.vessel_id = ${vesselId}::uuid)
         AND (${packagedLotId}::uuid IS NULL OR a.packaged_lot_id = ${packagedLotId}::uuid)
         AND (${materialLotId}::uuid IS NULL OR a.material_lot_id = ${materialLotId}::uuid)
         AND (NOT ${nonzero} OR b.litres <> 0 OR b.lpa_fermented <> 0 OR b.lpa_added <> 0)
       ORDER BY a.key COLLATE "C" LIMIT ${take}`;
  }
}
