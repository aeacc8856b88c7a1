import type { DutyTerm, FigureTerm } from './mapping.js';

type Names = readonly string[] | undefined;

/** True if two lists have a name in common; without a list, every name is meant. */
const intersects = (one: Names, other: Names): boolean =>
  one === undefined || other === undefined || one.some((name) => other.includes(name));

const same = <T>(one: T | undefined, other: T | undefined): boolean =>
  one === undefined || other === undefined || one === other;

interface Edge {
  readonly value: number;
}

/** True if two half-open ranges have a value in common. */
const overlaps = (from: Edge | undefined, below: Edge | undefined, from2: Edge | undefined, below2: Edge | undefined) =>
  (from?.value ?? -1) < (below2?.value ?? Infinity) && (from2?.value ?? -1) < (below?.value ?? Infinity);

const containersOverlap = (one: FigureTerm | DutyTerm, other: FigureTerm | DutyTerm): boolean =>
  intersects(one.categories, other.categories) &&
  intersects(one.containers, other.containers) &&
  overlaps(one.fromVolume, one.belowVolume, other.fromVolume, other.belowVolume);

/** Figures that both terms take, by their names; the terms of a column take its stages only. */
export function sharedFigures(
  one: FigureTerm,
  other: FigureTerm,
  columns: readonly [Names, Names] = [undefined, undefined],
): readonly string[] {
  const isShared =
    containersOverlap(one, other) &&
    intersects(one.stages, other.stages) &&
    intersects(columns[0], columns[1]) &&
    intersects(one.stages, columns[1]) &&
    intersects(other.stages, columns[0]) &&
    same(one.dutyStatus, other.dutyStatus) &&
    same(one.direction, other.direction);
  return isShared ? one.figures.filter((figure) => other.figures.includes(figure)) : [];
}

/** True if both terms may take the same duty. */
export const dutyShared = (one: DutyTerm, other: DutyTerm): boolean =>
  one.part === other.part &&
  containersOverlap(one, other) &&
  intersects(one.dutyCategories, other.dutyCategories) &&
  intersects(one.bands, other.bands) &&
  same(one.relieved, other.relieved) &&
  same(one.forDispense, other.forDispense) &&
  overlaps(one.fromStrength, one.belowStrength, other.fromStrength, other.belowStrength);
