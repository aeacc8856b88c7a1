import type { FermentableKind } from '../../../alcoholometry/plans/plan.js';

/** What a ferment can be made from; malt and malt extract count by the extract that they yield. */
export const FERMENTABLES = ['dextrose-anhydrous', 'dextrose-monohydrate', 'sucrose', 'malt', 'malt-extract'] as const;
export type FermentableType = (typeof FERMENTABLES)[number];

/** The same in the words of the plan's mass balance. */
export const PLAN_KIND_OF: Readonly<Record<FermentableType, FermentableKind>> = {
  'dextrose-anhydrous': 'dextrose-anhydrous',
  'dextrose-monohydrate': 'dextrose-monohydrate',
  sucrose: 'sucrose',
  malt: 'malt',
  'malt-extract': 'malt',
};

export const hasYield = (type: FermentableType): boolean => PLAN_KIND_OF[type] === 'malt';
