import { Exact, canonicalText } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import type { Amount } from './amount.js';
import { pureAlcohol } from './amount.js';

/** Contribution of one origin of uncertainty to an amount: signed, in litres and in litres of pure alcohol, twelve decimals. */
export interface Contribution {
  readonly litres: Decimal;
  readonly lpa: Decimal;
}

/** Contributions by origin. Vectors add linearly; the uncertainty of a total is the root of the sum of squares of its vector. */
export type Components = ReadonlyMap<string, Contribution>;

const PLACES = 12;
const ZERO = new Exact(0);

export const NO_COMPONENTS: Components = new Map();

const placed = (value: Decimal): Decimal => value.toDecimalPlaces(PLACES, Exact.ROUND_HALF_EVEN);

/** A component from a double, as the books keep it. */
export const componentOf = (value: number): Decimal => placed(new Exact(Number.isFinite(value) ? value : 0));

export function combined(...vectors: readonly Components[]): Components {
  const sum = new Map<string, Contribution>();
  for (const vector of vectors) {
    for (const [origin, { litres, lpa }] of vector) {
      const before = sum.get(origin);
      sum.set(origin, { litres: (before?.litres ?? ZERO).plus(litres), lpa: (before?.lpa ?? ZERO).plus(lpa) });
    }
  }
  return sum;
}

export const mapped = (vector: Components, change: (each: Contribution) => Contribution): Components =>
  new Map([...vector].map(([origin, each]) => [origin, change(each)]));

export const negatedComponents = (vector: Components): Components =>
  mapped(vector, ({ litres, lpa }) => ({ litres: litres.negated(), lpa: lpa.negated() }));

export const withoutComponents = (from: Components, taken: Components): Components =>
  combined(from, negatedComponents(taken));

/** Part of a vector that comes from the strength: its alcohol contribution less litres contribution times strength. */
const ofStrength = (vector: Components, balance: Amount, ratio: Decimal): Components => {
  const strength = balance.litres.isZero() ? ZERO : pureAlcohol(balance).dividedBy(balance.litres);
  return mapped(vector, ({ litres, lpa }) => ({
    litres: ZERO,
    lpa: placed(lpa.minus(litres.times(strength)).times(ratio)),
  }));
};

/** Components of litres that were counted or measured out: only those of the strength, pro rata. The uncertainty of the gauged volume stays on the account. */
export const countedComponents = (vector: Components, balance: Amount, litres: Decimal): Components =>
  ofStrength(vector, balance, balance.litres.isZero() ? ZERO : litres.dividedBy(balance.litres));

/** Components that a draw takes with it. The last draw takes the rest, with the uncertainty of the gauged volume. */
export const drawnComponents = (vector: Components, balance: Amount, litres: Decimal): Components =>
  litres.equals(balance.litres) ? vector : countedComponents(vector, balance, litres);

/** Measure of litres that were drawn: the origin of its error and its standard uncertainty. */
export interface Measure {
  readonly origin: string;
  readonly standardUncertaintyL: number;
}

/**
 * Components that a measured draw takes with it: those of the strength pro rata, and the error of the measure, which what stays has with the
 * other sign. The last draw takes the rest: the vessel was emptied, whatever the measure showed.
 */
export const measuredComponents = (
  vector: Components,
  balance: Amount,
  litres: Decimal,
  { origin, standardUncertaintyL }: Measure,
): Components => {
  const drawn = drawnComponents(vector, balance, litres);
  if (litres.isZero() || litres.equals(balance.litres)) return drawn;
  const u = componentOf(standardUncertaintyL);
  const strength = pureAlcohol(balance).dividedBy(balance.litres);
  return combined(drawn, new Map([[origin, { litres: u, lpa: placed(u.times(strength)) }]]));
};

/** Contributions to litres only, from doubles by origin. */
export const volumeComponents = (byOrigin: Iterable<readonly [string, number]>): Components =>
  combined(...[...byOrigin].map(([origin, c]) => new Map([[origin, { litres: componentOf(c), lpa: ZERO }]])));

/**
 * Components of an account whose strength was found: the strength's own contributions over the litres, and the uncertainty of the litres at
 * that strength. The contributions to litres stay what they are.
 *
 * @param strengthByOrigin signed contributions in % vol
 */
export function strengthComponents(
  litresVector: Components,
  litres: Decimal,
  strengthPercent: number,
  strengthByOrigin: Iterable<readonly [string, number]>,
): Components {
  const strength = new Exact(strengthPercent).dividedBy(100);
  const fromVolume = mapped(litresVector, (each) => ({
    litres: each.litres,
    lpa: placed(each.litres.times(strength)),
  }));
  const fromStrength = [...strengthByOrigin].map(
    ([origin, c]): Components =>
      new Map([[origin, { litres: ZERO, lpa: placed(new Exact(c).dividedBy(100).times(litres)) }]]),
  );
  return combined(fromVolume, ...fromStrength);
}

/** Standard uncertainty of a vector's total in one measure. */
export function rootSumSquare(vector: Components, measure: keyof Contribution): number {
  let sum = 0;
  for (const each of vector.values()) {
    sum += each[measure].toNumber() ** 2;
  }
  return Math.sqrt(sum);
}

/** As rows of a posting: origin, litres, litres of pure alcohol; nothing for an origin that cancelled out. */
export const componentRows = (vector: Components): [string, string, string][] =>
  [...vector]
    .filter(([, { litres, lpa }]) => !litres.isZero() || !lpa.isZero())
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([origin, { litres, lpa }]) => [origin, canonicalText(litres), canonicalText(lpa)]);
