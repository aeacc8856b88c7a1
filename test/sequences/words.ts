import { Decimal as Base } from 'decimal.js';

// Amounts, steps and postings of the plain model.

export const Decimal = Base.clone({ precision: 40, rounding: Base.ROUND_HALF_EVEN });
export type Decimal = Base;
export const d = (value: Base.Value): Decimal => new Decimal(value);
export const six = (value: Decimal): Decimal => value.toDecimalPlaces(6, Base.ROUND_HALF_EVEN);

export interface Amount {
  readonly litres: Decimal;
  readonly alcohol: Decimal;
}

export const ZERO: Amount = { litres: d(0), alcohol: d(0) };
export const plus = (a: Amount, b: Amount): Amount => ({
  litres: a.litres.plus(b.litres),
  alcohol: a.alcohol.plus(b.alcohol),
});
export const negated = (a: Amount): Amount => ({ litres: a.litres.negated(), alcohol: a.alcohol.negated() });
export const minus = (a: Amount, b: Amount): Amount => plus(a, negated(b));

export type Timing = 'draw' | 'change' | 'assertion';

export interface Line {
  readonly account: string;
  readonly amount: Amount;
}

export interface Posted {
  readonly name: string;
  /** Of what can be explained: what it asserted. */
  readonly asserts?: 'gauge' | 'count';
  readonly explains?: string;
  readonly at: number;
  readonly timing: Timing;
  readonly lines: readonly Line[];
  readonly reverses?: string;
}

export interface Composition {
  readonly lot: string;
  readonly finished: boolean;
  /** Undone when the operation that declared it finished, or opened it, is reversed. */
  readonly finishedBy?: string;
  readonly openedBy: string;
}

/** A step as it is asked for; times in hours from the start of the open period. */
export type Step =
  | {
      readonly kind: 'charge';
      readonly lot: string;
      readonly vessel: string;
      readonly litres: string;
      readonly at: number;
    }
  | {
      readonly kind: 'find';
      readonly lot: string;
      readonly composition: string;
      readonly strength: string;
      readonly at: number;
    }
  | {
      readonly kind: 'gauge';
      readonly lot: string;
      readonly vessel: string;
      readonly litres: string;
      readonly at: number;
    }
  | {
      readonly kind: 'transfer';
      readonly lot: string;
      readonly from: string;
      readonly to: string;
      readonly litres: string;
      readonly loss: string;
      readonly at: number;
    }
  | {
      readonly kind: 'dilute';
      readonly lot: string;
      readonly vessel: string;
      readonly water: string;
      readonly at: number;
    }
  | {
      readonly kind: 'pack';
      readonly lot: string;
      readonly vessel: string;
      readonly count: number;
      readonly loss?: string;
      readonly at: number;
    }
  | {
      readonly kind: 'draw';
      readonly lot: string;
      readonly vessel: string;
      readonly litres: string;
      readonly at: number;
      readonly explains?: string;
    }
  | {
      readonly kind: 'release';
      readonly packaged: string;
      readonly count: number;
      readonly at: number;
      readonly explains?: string;
    }
  | { readonly kind: 'return'; readonly packaged: string; readonly count: number; readonly at: number }
  | { readonly kind: 'count'; readonly packaged: string; readonly count: number; readonly at: number }
  | { readonly kind: 'reverse'; readonly operation: string };

/** `ok`, or the code of the problem. */
export type Outcome = string;

export class Refused extends Error {
  constructor(readonly code: string) {
    super(code);
  }
}

/** Containers of the model's runs hold half a litre. */
export const NOMINAL = d('0.5');

export const liquid = (composition: string, vessel: string): string => `liquid/${composition}/${vessel}`;
export const packed = (packaged: string): string => `packed/${packaged}`;
/** What of a packaged lot has left and can come back. */
export const gone = (packaged: string): string => `gone/${packaged}`;
/** The counter-entry of an entry that explains, and its reversal, by the name of the other. */
export const counter = (name: string): string => `${name}+`;
export const isStock = (account: string): boolean => account.startsWith('liquid/') || account.startsWith('packed/');

export function drawn(balance: Amount, litres: Decimal): Amount {
  if (litres.equals(balance.litres)) {
    return balance;
  }
  return { litres, alcohol: six(balance.alcohol.times(litres).dividedBy(balance.litres)) };
}

/** At any moment from `from` on, all postings of one instant taken together. */
export function fallsBelowZero(lines: readonly { at: number; amount: Amount }[], from: number): boolean {
  const moments = [...new Set(lines.map(({ at }) => at))].filter((at) => at >= from);
  return moments.some((moment) => {
    const { litres, alcohol } = lines
      .filter(({ at }) => at <= moment)
      .reduce<Amount>((sum, { amount }) => plus(sum, amount), ZERO);
    return litres.isNegative() && !litres.isZero()
      ? true
      : (alcohol.isNegative() && !alcohol.isZero()) ||
          alcohol.greaterThan(litres) ||
          (litres.isZero() && !alcohol.isZero());
  });
}

/** Two compositions in one vessel, at the moment of the event or at a later one. */
export function sharesItsVessel(account: string, from: number, posted: readonly Posted[]): boolean {
  const [kind, composition, vessel] = account.split('/');
  if (kind !== 'liquid') return false;
  const lines = posted.flatMap(({ at, lines: own }) => own.map((line) => ({ at, ...line })));
  const others = new Set(
    lines
      .map((line) => line.account)
      .filter((other) => {
        const [otherKind, otherComposition, otherVessel] = other.split('/');
        return otherKind === 'liquid' && otherVessel === vessel && otherComposition !== composition;
      }),
  );
  const holds = (each: string, moment: number): boolean =>
    lines
      .filter((line) => line.account === each && line.at <= moment)
      .reduce((sum, { amount }) => plus(sum, amount), ZERO)
      .litres.greaterThan(0);
  return [...new Set(posted.map(({ at }) => at))]
    .filter((at) => at >= from)
    .some((at) => holds(account, at) && [...others].some((other) => holds(other, at)));
}
