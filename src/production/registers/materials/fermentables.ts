import type { FermentableKind as PlanFermentable } from '../../../alcoholometry/plans/plan.js';

/** Materials that yeast ferments. Malt and malt extract count by the extract that they yield. */
export const FERMENTABLES = ['dextrose-anhydrous', 'dextrose-monohydrate', 'sucrose', 'malt', 'malt-extract'] as const;
export type FermentableKind = (typeof FERMENTABLES)[number];

/** The kind by which the plan's mass balance computes each. */
export const PLAN_KIND_OF: Readonly<Record<FermentableKind, PlanFermentable>> = {
  'dextrose-anhydrous': 'dextrose-anhydrous',
  'dextrose-monohydrate': 'dextrose-monohydrate',
  sucrose: 'sucrose',
  malt: 'malt',
  'malt-extract': 'malt',
};

export const hasYield = (kind: FermentableKind): boolean => PLAN_KIND_OF[kind] === 'malt';
