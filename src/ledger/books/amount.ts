import { Exact, canonicalText, toPlaces6HalfEven } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';

/** The three measures of the books, each in litres at 20 °C with at most six decimals. */
export interface Amount {
  readonly litres: Decimal;
  /** Litres of pure alcohol that fermentation made. */
  readonly fermented: Decimal;
  /** Litres of pure alcohol that were added. */
  readonly added: Decimal;
}

export const amount = (litres: Decimal.Value, fermented: Decimal.Value = 0, added: Decimal.Value = 0): Amount => ({
  litres: new Exact(litres),
  fermented: new Exact(fermented),
  added: new Exact(added),
});

export const NOTHING = amount(0);

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

export const pureAlcohol = (a: Amount): Decimal => a.fermented.plus(a.added);

export const isNothing = (a: Amount): boolean => a.litres.isZero() && a.fermented.isZero() && a.added.isZero();

/**
 * Amount that a draw of `litres` takes: alcohol pro rata, half-even to six places; the last draw takes the rest.
 *
 * @param balance with litres above zero; @param litres from 0 up to the balance. Throws a RangeError beyond it.
 */
export function drawnFrom(balance: Amount, litres: Decimal): Amount {
  if (litres.isNegative() || litres.greaterThan(balance.litres)) {
    throw new RangeError('A draw lies between nothing and all that is there.');
  }
  if (litres.equals(balance.litres)) {
    return balance;
  }
  const share = (alcohol: Decimal): Decimal => toPlaces6HalfEven(alcohol.times(litres).dividedBy(balance.litres));
  return { litres, fermented: share(balance.fermented), added: share(balance.added) };
}

/** Alcohol of `litres` more at the strength of the account, half-even to six places; for what a count found beyond the books. */
export function atStrengthOf(balance: Amount, litres: Decimal): Amount {
  if (balance.litres.isZero()) {
    return amount(litres);
  }
  const share = (alcohol: Decimal): Decimal => toPlaces6HalfEven(alcohol.times(litres).dividedBy(balance.litres));
  return { litres, fermented: share(balance.fermented), added: share(balance.added) };
}

/** Strength that the books imply, in % vol; undefined for an empty account. */
export const bookStrengthPercent = (balance: Amount): number | undefined =>
  balance.litres.isZero() ? undefined : pureAlcohol(balance).dividedBy(balance.litres).times(100).toNumber();

export interface AmountTexts {
  readonly litres: string;
  readonly lpaFermented: string;
  readonly lpaAdded: string;
}

/** The measures as canonical decimal texts. */
export const amountTexts = (a: Amount): AmountTexts => ({
  litres: canonicalText(a.litres),
  lpaFermented: canonicalText(a.fermented),
  lpaAdded: canonicalText(a.added),
});
