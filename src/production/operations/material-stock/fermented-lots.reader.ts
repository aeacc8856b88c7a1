import { Injectable } from '@nestjs/common';
import type { FermentableKind } from '../../../alcoholometry/plans/fermentables.js';
import { mostAlcoholL } from '../../../alcoholometry/plans/most-alcohol.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { MaterialFacts } from '../../registers/materials/materials.dto.js';
import { fromJson } from '../../../tenancy/settings/stored-json.js';
import type { Prisma } from '../../../generated/prisma/client.js';
import type { Span } from '../../../ledger/figures/span.js';

/** A lot with the alcohol that it fermented by the books, and the most that its fermentables could give; litres of pure alcohol. */
export interface FermentedLot {
  readonly lotId: string;
  readonly lotCode: string;
  readonly fermentedL: number;
  readonly mostL: number;
}

interface Row {
  lotId: string;
  lotCode: string;
  fermentedL: number;
  materials: { kind: string; details: Prisma.JsonValue; quantity: number; unit: string }[];
}

/** Kinds of material that bring sugar. */
const BRINGS_SUGAR: readonly string[] = ['sugar', 'malt', 'fruit', 'other'];

/** Reads lots whose books have more fermented alcohol than what was charged and added could give. */
@Injectable()
export class FermentedLotsReader {
  /** Lots to which alcohol of fermentation was posted in the time. A lot that took in liquid from elsewhere, or sugar of unknown kind, is left out. */
  async aboveFermentables(tx: Tx, producerId: string, span: Span): Promise<FermentedLot[]> {
    const rows = await tx.$queryRaw<Row[]>`
      WITH nominal AS (
        SELECT a.id, a.premises_id FROM account a
         WHERE a.producer_id = ${producerId}::uuid AND a.side = 'nominal' AND a.kind IN ('fermentation', 'produced', 're-measurement')),
      touched AS (
        SELECT DISTINCT p.lot_id FROM nominal n JOIN posting p ON p.producer_id = ${producerId}::uuid AND p.account_id = n.id
         WHERE n.premises_id = ${span.premisesId}::uuid AND p.occurred_at >= ${span.startsAt} AND p.occurred_at < ${span.endsAt}
           AND p.lpa_fermented <> 0 AND p.lot_id IS NOT NULL)
      SELECT l.id AS "lotId", l.code AS "lotCode", u.materials,
             (SELECT -sum(p.lpa_fermented) FROM composition c JOIN posting p ON p.producer_id = c.producer_id AND p.composition_id = c.id
               WHERE c.producer_id = l.producer_id AND c.lot_id = l.id AND p.account_id IN (SELECT id FROM nominal))::float8 AS "fermentedL"
        FROM touched t
        JOIN lot l ON l.producer_id = ${producerId}::uuid AND l.id = t.lot_id,
             LATERAL (SELECT jsonb_agg(jsonb_build_object('kind', m.kind, 'details', m.details, 'quantity', e.quantity, 'unit', b.unit)) AS materials
                        FROM operation o
                        JOIN material_entry e ON e.producer_id = o.producer_id AND e.operation_id = o.id AND e.kind = 'used'
                        JOIN material_lot b ON b.producer_id = e.producer_id AND b.id = e.material_lot_id
                        JOIN material m ON m.producer_id = b.producer_id AND m.id = b.material_id
                       WHERE o.producer_id = l.producer_id AND o.lot_id = l.id AND NOT is_reversed(o.producer_id, o.id)) u
       WHERE u.materials IS NOT NULL
         AND NOT EXISTS (SELECT FROM composition c WHERE c.producer_id = l.producer_id AND c.lot_id = l.id AND c.kind NOT IN ('charge', 'addition', 'dilution'))
       ORDER BY l.code`;
    return rows.flatMap(({ materials, ...lot }) => {
      const mostL = mostOf(materials);
      return mostL !== undefined && lot.fermentedL > mostL ? [{ ...lot, mostL }] : [];
    });
  }
}

/** Most alcohol of all materials, litres; undefined where what one brings is not known, or none brings any. */
function mostOf(materials: Row['materials']): number | undefined {
  const sweet = materials.filter(({ kind }) => BRINGS_SUGAR.includes(kind));
  const parts = sweet.map(({ details, quantity, unit }) => {
    const { fermentable, extractYield } = fromJson(MaterialFacts, 'material.details', details);
    return fermentable === undefined || unit !== 'kg' ? undefined : partOf(fermentable, quantity, extractYield?.value);
  });
  const known = parts.filter((part) => part !== undefined);
  return known.length < parts.length || known.length === 0 ? undefined : known.reduce((sum, part) => sum + part, 0);
}

const partOf = (kind: FermentableKind, massKg: number, yieldPercent = 100): number =>
  mostAlcoholL(kind, massKg, yieldPercent / 100);
