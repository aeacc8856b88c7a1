import { sharesOf, solidsOf } from '../../../alcoholometry/plans/plan.js';
import type { ExtractShares } from '../../../alcoholometry/strength/composition.js';
import { toBase } from '../../../metrology/units.js';
import type { RecipePlan } from './plan.dto.js';

/** Shares of the sugars in the extract of a plan; undefined for a plan without fermentables. */
export function plannedShares({ fermentables = [] }: RecipePlan): ExtractShares | undefined {
  if (fermentables.length === 0) return undefined;
  return sharesOf(
    solidsOf(
      fermentables.map(({ kind, mass, extractYield }) => ({
        kind,
        massKg: toBase('mass', mass),
        ...(extractYield === undefined ? {} : { extractYield: extractYield.value / 100 }),
      })),
    ),
  );
}
