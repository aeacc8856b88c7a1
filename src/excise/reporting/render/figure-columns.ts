import type { Litres } from '../../../ledger/books/litres.dto.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact } from '../../../metrology/decimals.js';
import { currencyPlaces, fixed } from './figures-text.js';
import type { Column, ReportTable, Value } from './report-table.js';

/** Digits of an expanded uncertainty that are printed, GUM (JCGM 100:2008) 7.2.6. */
const DIGITS_OF_U = 2;
/** Places of the books: nothing is printed finer. */
const MOST_PLACES = 6;
/** Places of a figure that has no uncertainty, at the most. */
const EXACT_PLACES = 3;

type Row = ReportTable['rows'][number];

/** A figure on a page: its text, and how many places it has fewer than the longest of its column. */
export interface FigureText {
  readonly text: string;
  readonly shorterBy: number;
}

/** Decimal place of the second digit of an expanded uncertainty, after rounding; undefined where nothing is uncertain. */
function placesOf(uncertainty: Decimal): number | undefined {
  if (uncertainty.isZero()) {
    return undefined;
  }
  const twoDigits = uncertainty.toSignificantDigits(DIGITS_OF_U, 6);
  return Math.min(MOST_PLACES, Math.max(0, DIGITS_OF_U - 1 - twoDigits.e));
}

/** So many significant digits of an uncertainty. */
export const digits = (value: number, most: number): string => {
  const rounded = new Exact(value).toSignificantDigits(most, 6);
  return fixed(rounded, Math.max(0, most - 1 - rounded.e));
};

/** A value with its expanded uncertainty, each to the second digit of this: `4.97 ± 0.30`. */
export function withU(value: number, expandedUncertainty: number): string {
  const places = placesOf(new Exact(expandedUncertainty)) ?? EXACT_PLACES;
  return `${fixed(value, places)} ± ${fixed(expandedUncertainty, places)}`;
}

/** Exact number of a cell; undefined where the column holds none, or the row has none. */
export function numberIn({ kind }: Column, value: Value | undefined): Decimal | undefined {
  if (value === undefined) {
    return undefined;
  }
  switch (kind) {
    case 'litres':
      return litresOf(value as Litres);
    case 'number':
      return new Exact(value as number);
    case 'decimal':
    case 'money':
      return /^-?\d+(\.\d+)?$/.test(value as string) ? new Exact(value as string) : undefined;
    default:
      return undefined;
  }
}

/** Places that a row's figure bears by its uncertainty: the figure's own, or that of its partner. */
function bornePlaces(table: ReportTable, name: string, row: Row): number | undefined {
  const { isUncertainty, uncertainty } = table.columns[name];
  const of = isUncertainty === true ? name : uncertainty;
  const value = of === undefined ? undefined : numberIn(table.columns[of], row[of]);
  return value === undefined ? undefined : placesOf(value);
}

/**
 * Texts of a column of numbers, by row. A figure with an uncertainty has the places that this bears; figures without
 * one have the same number of places. The shorter ones are set so that the decimal points stand below each other.
 */
export function figureTexts(table: ReportTable, name: string, rows: readonly Row[]): (FigureText | undefined)[] {
  const column = table.columns[name];
  const values = rows.map((row) => numberIn(column, row[name]));
  const borne = rows.map((row) => bornePlaces(table, name, row));
  const textPlaces = (value: Decimal, row: Row): number =>
    column.kind === 'decimal' ? ((row[name] as string).split('.').at(1)?.length ?? 0) : value.decimalPlaces();
  const needed = values.map((value, at) => (value === undefined ? 0 : textPlaces(value, rows[at])));
  const exact = needed.filter((_, at) => values[at] !== undefined && borne[at] === undefined);
  const hasU = column.uncertainty !== undefined || column.isUncertainty === true;
  const common = Math.min(
    hasU ? EXACT_PLACES : MOST_PLACES,
    exact.reduce((most, each) => Math.max(most, each), 0),
  );
  const placesAt = (at: number): number =>
    column.places ??
    (column.kind === 'money' && values[at] !== undefined ? currencyPlaces(String(rows[at].currency)) : undefined) ??
    (column.kind === 'decimal'
      ? (borne[at] ?? needed[at])
      : (borne[at] ?? (hasU && values[at]?.isZero() === true ? 0 : common)));
  const places = rows.map((_, at) => placesAt(at));
  const longest = places.reduce((most, each, at) => (values[at] === undefined ? most : Math.max(most, each)), 0);
  return values.map((value, at) =>
    value === undefined ? undefined : { text: fixed(value, places[at]), shorterBy: longest - places[at] },
  );
}
