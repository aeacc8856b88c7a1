import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { CompositionKind } from './composition.rows.js';

/** Sugar put into a fermenting wash, as the effective original extract needs it. */
export interface FermentableAddition {
  readonly vesselMassKg: number;
  readonly alcoholByMassPercent: number;
  readonly addedMassKg: number;
  readonly addedMassStandardUncertaintyKg: number;
  readonly addedExtractPercent: number;
}

/** A composition that the liquid was, on its way from the charge. */
export interface LineageStep {
  readonly id: string;
  readonly lotId: string;
  readonly kind: CompositionKind;
  readonly openedAt: Date;
  /** Of an addition that fermentation takes up; undefined for any other change. */
  readonly fermentable: FermentableAddition | undefined;
}

interface StepRow {
  id: string;
  lotId: string;
  kind: CompositionKind;
  openedAt: Date;
  fermentable: FermentableAddition | null;
}

/** Reads what a composition came from, as long as that was one liquid: through splits and additions back to its charge. */
@Injectable()
export class LineageReader {
  /** Oldest first; the last is the composition itself. */
  async of(tx: Tx, producerId: string, compositionId: string): Promise<LineageStep[]> {
    const rows = await tx.$queryRaw<StepRow[]>`
      WITH RECURSIVE step AS (
        SELECT c.id, c.lot_id, c.kind, c.opened_at, o.document, 0 AS depth
          FROM composition c JOIN operation o ON o.producer_id = c.producer_id AND o.id = c.operation_id
         WHERE c.producer_id = ${producerId}::uuid AND c.id = ${compositionId}::uuid
        UNION ALL
        SELECT c.id, c.lot_id, c.kind, c.opened_at, o.document, s.depth + 1
          FROM step s
          JOIN composition c ON c.producer_id = ${producerId}::uuid AND c.id = (s.document ->> 'fromCompositionId')::uuid
          JOIN operation o ON o.producer_id = c.producer_id AND o.id = c.operation_id
         WHERE s.kind IN ('split', 'addition'))
      SELECT id, lot_id AS "lotId", kind, opened_at AS "openedAt", document -> 'fermentable' AS fermentable
        FROM step ORDER BY depth DESC`;
    return rows.map(({ fermentable, ...row }) => ({ ...row, fermentable: fermentable ?? undefined }));
  }
}

/** True while the original gravity of the charge still applies: the liquid was only split, or sugar was added to it. */
export const hasOriginalGravity = (lineage: readonly LineageStep[]): boolean =>
  lineage.length > 0 &&
  lineage[0].kind === 'charge' &&
  lineage.every(({ kind, fermentable }) => kind === 'charge' || kind === 'split' || fermentable !== undefined);
