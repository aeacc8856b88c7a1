import { Decimal as Base } from 'decimal.js';
import type { Handled } from './containers.js';

// Amounts, accounts and postings of the plain model.

export const Decimal = Base.clone({ precision: 40, rounding: Base.ROUND_HALF_EVEN });
export type Decimal = Base;
export const d = (value: Base.Value): Decimal => new Decimal(value);
export const six = (value: Decimal): Decimal => value.toDecimalPlaces(6, Base.ROUND_HALF_EVEN);

export interface Amount {
  readonly litres: Decimal;
  readonly fermented: Decimal;
  readonly added: Decimal;
}

export const amount = (litres: Base.Value, fermented: Base.Value = 0, added: Base.Value = 0): Amount => ({
  litres: d(litres),
  fermented: d(fermented),
  added: d(added),
});
export const ZERO: Amount = amount(0);
export const plus = (a: Amount, b: Amount): Amount => ({
  litres: a.litres.plus(b.litres),
  fermented: a.fermented.plus(b.fermented),
  added: a.added.plus(b.added),
});
export const negated = (a: Amount): Amount => ({
  litres: a.litres.negated(),
  fermented: a.fermented.negated(),
  added: a.added.negated(),
});
export const minus = (a: Amount, b: Amount): Amount => plus(a, negated(b));
export const alcoholOf = (a: Amount): Decimal => a.fermented.plus(a.added);
export const isNothing = (a: Amount): boolean => a.litres.isZero() && a.fermented.isZero() && a.added.isZero();

/** So many litres at the strength of an amount. */
export function atStrengthOf(balance: Amount, litres: Decimal): Amount {
  const share = (alcohol: Decimal): Decimal => six(alcohol.times(litres).dividedBy(balance.litres));
  return { litres, fermented: share(balance.fermented), added: share(balance.added) };
}

/** A draw: pro rata; the last takes the rest. */
export const drawn = (balance: Amount, litres: Decimal): Amount =>
  litres.equals(balance.litres) ? balance : atStrengthOf(balance, litres);

type Timing = 'draw' | 'change' | 'assertion';
export type Site = 'here' | 'there';
export type Duty = 'suspended' | 'paid';

export interface Line {
  readonly account: string;
  readonly amount: Amount;
}

export interface Posted {
  readonly name: string;
  readonly site: Site;
  /** Hours from the start of the first period. */
  readonly at: number;
  readonly timing: Timing;
  readonly lines: readonly Line[];
  /** Of what can be explained: what it asserted. */
  readonly asserts?: 'gauge' | 'count';
  readonly explains?: string;
  /** Composition that an entry without lines was made for. */
  readonly madeFor?: string;
  /** The day whose readings it sums. */
  readonly samplesOf?: number;
  readonly reverses?: string;
  /** What became of containers with serials. */
  readonly containers?: readonly Handled[];
  /** The stock that the books begin with. */
  readonly opens?: boolean;
}

/** `ok`, or the code of the problem. */
export type Outcome = string;

export class Refused extends Error {
  constructor(readonly code: string) {
    super(code);
  }
}

/** The first period ends, the second begins. */
export const FIRST_ENDS = 744;
/** When everything is entered: in the second period. */
export const NOW = 1452;

/** What stands in it may be used on the spot without being packed. */
export const SERVING = 'vessel-4';

export const VESSELS = ['vessel-1', 'vessel-2', 'vessel-3', SERVING];
/** Litres that a vessel can hold; one that is not named has no stated capacity. */
export const CAPACITIES: ReadonlyMap<string, string> = new Map([
  ['vessel-1', '250'],
  ['vessel-2', '320.5'],
  ['far-1', '60'],
]);
/** Those of the other premises. */
export const FAR_LOTS = ['far-lot-1', 'far-lot-2', 'far-lot-3'];
export const FAR_VESSELS = ['far-1', 'far-2'];
export const categoryOf = (lot: string): string =>
  ['lot-3', 'far-lot-2'].includes(lot) ? 'mixed-drink' : 'sugar-ferment';
export const siteOfLot = (lot: string): Site => (FAR_LOTS.includes(lot) ? 'there' : 'here');
export const siteOfVessel = (vessel: string): Site => (FAR_VESSELS.includes(vessel) ? 'there' : 'here');

export const liquid = (composition: string, vessel: string): string => `liquid/${composition}/${vessel}`;
export const packed = (packaged: string, site: Site = 'here', duty: Duty = 'suspended'): string =>
  `packed/${packaged}/${site}/${duty}`;
export const material = (name: string): string => `material/${name}`;
export const onTheWay = (packaged: string, transit: string, from: Site, duty: Duty): string =>
  `transit/${packaged}/${transit}/${from}/${duty}`;
export const inBulk = (composition: string, transit: string, from: Site): string =>
  `bulk/${composition}/${transit}/${from}/suspended`;
/** What of a packaged lot has left and can come back. */
export const gone = (packaged: string): string => `gone/${packaged}`;
/** What the readings of a day took out of a vessel and what it held, by the name of the day's sum. */
export const sampleName = (name: string, vessel: string, composition: string): string =>
  `${name}~${vessel}~${composition}`;
/** The counter-entry of an entry that explains, and its reversal, by the name of the other. */
export const counter = (name: string): string => `${name}+`;
export const isStock = (account: string): boolean => !account.startsWith('gone/');

/** Where an account of stock stands: materials are all at the first premises. */
export function siteOf(account: string): Site {
  const [kind, , second, third] = account.split('/');
  if (kind === 'liquid') return siteOfVessel(second);
  const site = kind === 'packed' ? second : third;
  return ['packed', 'transit', 'bulk'].includes(kind) && site === 'there' ? 'there' : 'here';
}

interface Dated {
  readonly at: number;
  readonly amount: Amount;
}

/** Sums at every moment from `from` on, all postings of one instant taken together. */
const sums = (lines: readonly Dated[], from: number): Amount[] =>
  [...new Set(lines.map(({ at }) => at))]
    .filter((at) => at >= from)
    .map((moment) =>
      lines.filter(({ at }) => at <= moment).reduce<Amount>((all, each) => plus(all, each.amount), ZERO),
    );

const isLess = (sum: Amount): boolean => sum.litres.lessThan(0) || sum.fermented.lessThan(0) || sum.added.lessThan(0);

/** Stock: never less than nothing, never more alcohol than liquid, nothing in what is empty. */
export const fallsBelowZero = (lines: readonly Dated[], from: number): boolean =>
  sums(lines, from).some(
    (sum) => isLess(sum) || alcoholOf(sum).greaterThan(sum.litres) || (sum.litres.isZero() && !alcoholOf(sum).isZero()),
  );

/** What is out: no more has come back than had left by then. */
export const comesBackTooOften = (lines: readonly Dated[], from: number): boolean => sums(lines, from).some(isLess);
