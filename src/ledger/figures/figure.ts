import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { COVERAGE_95 } from '../../metrology/student.js';
import type { Amount } from '../books/amount.js';
import { amount, minus, NOTHING, plus, pureAlcohol } from '../books/amount.js';
import type { Figures } from '../books/litres.dto.js';
import { litresOf, toLitres } from '../books/litres.dto.js';

/** Coverage factor of every total as a decimal text for SQL: the 95 % factor of findings, to six places. */
export const COVERAGE_FACTOR = COVERAGE_95.toFixed(6);

/** An amount of the books with its expanded uncertainty (95 %), in litres and in litres of pure alcohol, six places. */
export interface Figure {
  readonly amount: Amount;
  readonly expandedLitres: Decimal;
  readonly expandedLpa: Decimal;
}

/** The columns by which the set-based sums answer a figure, as decimal texts. */
export interface FigureRow {
  readonly litres: string;
  readonly fermented: string;
  readonly added: string;
  readonly expandedLitres: string;
  readonly expandedLpa: string;
}

export const figureOf = (row: FigureRow): Figure => ({
  amount: amount(row.litres, row.fermented, row.added),
  expandedLitres: new Exact(row.expandedLitres),
  expandedLpa: new Exact(row.expandedLpa),
});

export const NO_FIGURE: Figure = { amount: NOTHING, expandedLitres: new Exact(0), expandedLpa: new Exact(0) };

export const toFigures = ({ amount: a, expandedLitres, expandedLpa }: Figure): Figures => ({
  litres: toLitres(a.litres),
  litresOfPureAlcohol: toLitres(pureAlcohol(a)),
  fermented: toLitres(a.fermented),
  added: toLitres(a.added),
  expandedUncertainty: { litres: toLitres(expandedLitres), litresOfPureAlcohol: toLitres(expandedLpa) },
});

/** A figure as a report printed it. */
export const figureFrom = (wire: Figures): Figure => ({
  amount: { litres: litresOf(wire.litres), fermented: litresOf(wire.fermented), added: litresOf(wire.added) },
  expandedLitres: litresOf(wire.expandedUncertainty.litres),
  expandedLpa: litresOf(wire.expandedUncertainty.litresOfPureAlcohol),
});

export const sumOfAmounts = (amounts: readonly Amount[]): Amount => amounts.reduce(plus, NOTHING);

/** Opening stock plus flows, set against closing stock. The difference is exact and zero where the books balance. */
export interface ReconciledFigures {
  readonly opening: Amount;
  readonly flows: Amount;
  readonly closing: Amount;
  readonly difference: Amount;
  readonly balances: boolean;
}

/** Reconciles opening stock and flows with closing stock, in each of the three measures. */
export function reconcile(opening: Amount, flows: Amount, closing: Amount): ReconciledFigures {
  const difference = minus(closing, plus(opening, flows));
  const balances = difference.litres.isZero() && difference.fermented.isZero() && difference.added.isZero();
  return { opening, flows, closing, difference, balances };
}
