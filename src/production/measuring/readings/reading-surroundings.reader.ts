import { Injectable } from '@nestjs/common';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { ExtractShares } from '../../../alcoholometry/strength/composition.js';
import type { Prisma } from '../../../generated/prisma/client.js';
import { fromJson } from '../../../tenancy/settings/stored-json.js';
import { plannedShares } from '../../registers/recipes/extract-shares.js';
import { RecipePlan } from '../../registers/recipes/plan.dto.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { GravityReadings } from '../position/gravity-readings.js';
import type { EarlierGravity } from './reading-doubts.js';

/** The records around a moment of a lot: what was read before, what was in the vessel, what fermentation had begun. */
export interface ReadingSurroundings {
  /** All gravities of the lot that were taken before and are not struck, oldest first. */
  readonly earlier: readonly (EarlierGravity & { readonly compositionId: string | null })[];
  readonly plannedOriginalPlato: number | undefined;
  /** Of the plan; malt, sugar-wash or spirit-based. */
  readonly planKind: string | undefined;
  /** Sugars in the extract of the plan. */
  readonly shares: ExtractShares | undefined;
  /** The first composition of the lot. */
  readonly first: FirstComposition | undefined;
  readonly isCharged: boolean;
  readonly otherLotCode: string | undefined;
  /** Yeast was put in, or the books hold alcohol of the lot. */
  readonly isFermenting: boolean;
}

interface FirstComposition {
  readonly id: string;
  readonly kind: string;
  readonly openedAt: Date;
}

interface FactsRow {
  plannedOriginalPlato: number | null;
  plan: Prisma.JsonValue | null;
  firstId: string | null;
  firstKind: string | null;
  firstOpenedAt: Date | null;
  isCharged: boolean;
  otherLotCode: string | null;
  isFermenting: boolean;
}

@Injectable()
export class ReadingSurroundingsReader {
  constructor(private readonly gravities: GravityReadings) {}

  /** `without` is a reading that this one takes the place of. */
  async of(
    tx: Tx,
    producerId: string,
    at: { readonly lotId: string; readonly takenAt: Date; readonly vesselId?: string; readonly without?: string },
  ): Promise<ReadingSurroundings> {
    const { lotId, takenAt, vesselId = null, without } = at;
    const gravities = await this.gravities.ofLot(tx, producerId, lotId);
    const moment = takenAt.toISOString();
    const [facts] = await tx.$queryRaw<FactsRow[]>`
      WITH there AS (
        SELECT c.lot_id, a.vessel_id, sum(p.litres) AS litres, sum(p.lpa_fermented + p.lpa_added) AS lpa
          FROM account a
          JOIN composition c ON c.producer_id = a.producer_id AND c.id = a.composition_id
          JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id AND p.occurred_at <= ${moment}::timestamptz
         WHERE a.producer_id = ${producerId}::uuid AND a.side = 'stock' AND a.packaged_lot_id IS NULL
           AND (c.lot_id = ${lotId}::uuid OR a.vessel_id = ${vesselId}::uuid)
         GROUP BY c.lot_id, a.vessel_id HAVING sum(p.litres) > 0)
      SELECT (v.expected ->> 'originalExtract')::float8 AS "plannedOriginalPlato",
             v.plan AS plan, f.id AS "firstId", f.kind AS "firstKind", f.opened_at AS "firstOpenedAt",
             EXISTS (SELECT FROM there t WHERE t.lot_id = l.id) AS "isCharged",
             (SELECT o.code FROM there t JOIN lot o ON o.producer_id = l.producer_id AND o.id = t.lot_id
               WHERE t.vessel_id = ${vesselId}::uuid AND t.lot_id <> l.id
                 AND NOT EXISTS (SELECT FROM there own WHERE own.lot_id = l.id AND own.vessel_id = ${vesselId}::uuid) LIMIT 1) AS "otherLotCode",
             EXISTS (SELECT FROM there t WHERE t.lot_id = l.id AND t.lpa <> 0)
             OR EXISTS (SELECT FROM process_step p
                         WHERE p.producer_id = l.producer_id AND p.lot_id = l.id AND p.kind = 'pitch-yeast' AND p.outcome = 'done'
                           AND p.done_at < ${moment}::timestamptz
                           AND NOT EXISTS (SELECT FROM process_step w WHERE w.producer_id = p.producer_id AND w.replaces = p.id))
             OR EXISTS (SELECT FROM operation o
                          CROSS JOIN jsonb_array_elements(CASE WHEN jsonb_typeof(o.document -> 'materials') = 'array' THEN o.document -> 'materials' ELSE '[]' END) AS used
                          JOIN material_lot k ON k.producer_id = o.producer_id AND k.id::text = used ->> 'materialLotId'
                          JOIN material m ON m.producer_id = k.producer_id AND m.id = k.material_id AND m.kind = 'yeast'
                         WHERE o.producer_id = l.producer_id AND o.lot_id = l.id AND o.kind IN ('charge', 'addition')
                           AND o.occurred_at < ${moment}::timestamptz AND NOT is_reversed(o.producer_id, o.id)) AS "isFermenting"
        FROM lot l LEFT JOIN recipe_version v ON v.producer_id = l.producer_id AND v.id = l.recipe_version_id
        LEFT JOIN LATERAL (SELECT c.id, c.kind, c.opened_at FROM composition c WHERE c.producer_id = l.producer_id AND c.lot_id = l.id
                            ORDER BY c.opened_at, c.id LIMIT 1) f ON true
       WHERE l.producer_id = ${producerId}::uuid AND l.id = ${lotId}::uuid`;
    const plan = facts.plan === null ? undefined : fromJson(RecipePlan, 'recipe_version.plan', facts.plan);
    return {
      earlier: gravities.flatMap(({ id, value, unit, takenAt: then, compositionId, temperatureC }) =>
        value === null || unit === null || then >= takenAt || id === without
          ? []
          : [{ value, scale: unit as GravityScale, takenAt: then, compositionId, temperatureC }],
      ),
      plannedOriginalPlato: facts.plannedOriginalPlato ?? undefined,
      planKind: plan?.kind,
      shares: plan && plannedShares(plan),
      first:
        facts.firstId === null || facts.firstKind === null || facts.firstOpenedAt === null
          ? undefined
          : { id: facts.firstId, kind: facts.firstKind, openedAt: facts.firstOpenedAt },
      isCharged: facts.isCharged,
      otherLotCode: facts.otherLotCode ?? undefined,
      isFermenting: facts.isFermenting,
    };
  }
}
