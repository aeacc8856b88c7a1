/** Materials that yeast ferments. A sugar dissolves completely; malt and malt extract count by their yield of extract. */
export const FERMENTABLES = ['dextrose-anhydrous', 'dextrose-monohydrate', 'sucrose', 'malt', 'malt-extract'] as const;
export type FermentableKind = (typeof FERMENTABLES)[number];

/** True for fermentables that need an extract yield. */
export const hasYield = (kind: FermentableKind): boolean => kind === 'malt' || kind === 'malt-extract';
