import { stringify } from 'csv-stringify/sync';
import type { Figures, Litres } from '../../../ledger/books/litres.dto.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import { canonicalText, Exact } from '../../../metrology/decimals.js';
import { csvText } from '../../../platform/csv-text.js';

/** A number cell keeps its kind, so that a minus sign is not taken for a formula. */
export type CsvCell = string | { readonly number: string };

/** One table of a report: a file in the ZIP. */
export interface NamedTable {
  readonly name: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly CsvCell[])[];
}

export const number = (value: number | undefined): CsvCell =>
  value === undefined ? '' : { number: canonicalText(new Exact(value)) };
export const litres = (value: Litres): CsvCell => ({ number: canonicalText(litresOf(value)) });

/** A decimal that is a text already. */
export const decimalCell = (text: string): CsvCell => ({ number: text });

/** The columns of a figure in all its measures, and their cells. */
export const FIGURES = [
  'litres',
  'litres_of_pure_alcohol',
  'fermented',
  'added',
  'expanded_uncertainty_litres',
  'expanded_uncertainty_litres_of_pure_alcohol',
];
export const figures = (figure: Figures): CsvCell[] => [
  litres(figure.litres),
  litres(figure.litresOfPureAlcohol),
  litres(figure.fermented),
  litres(figure.added),
  litres(figure.expandedUncertainty.litres),
  litres(figure.expandedUncertainty.litresOfPureAlcohol),
];

/** A table as RFC 4180 text: texts are neutralised for spreadsheets, numbers stay numbers. */
export const tableCsv = ({ columns, rows }: NamedTable): string =>
  stringify(
    [[...columns], ...rows.map((row) => row.map((cell) => (typeof cell === 'string' ? csvText(cell) : cell.number)))],
    { record_delimiter: 'windows' },
  );
