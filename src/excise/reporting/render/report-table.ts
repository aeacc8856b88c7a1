import type { Figures, Litres } from '../../../ledger/books/litres.dto.js';

/** The operations behind a figure: a link, and what the annex of a PDF finds them by. */
export interface Operations {
  readonly link: string;
  /** One operation. */
  readonly operationId?: string;
  /** A figure of the report, whose operations the annex lists. */
  readonly figure?: FigureKey;
  /** Name of the goods where the operation itself has none. */
  readonly goods?: string;
}

export type FigureKey =
  | { readonly figure: 'line'; readonly line: string }
  | { readonly figure: 'category-line'; readonly line: string; readonly category: string }
  | { readonly figure: 'stock'; readonly accountId: string; readonly description: string };

/** Values by the kind of their column. */
interface Values {
  text: string;
  /** A code of the interface, such as `packaging-loss`; its words on a page. */
  code: string;
  /** ISO 8601 in UTC; local time on a page. */
  instant: string;
  litres: Litres;
  number: number;
  /** A decimal that is a text already. */
  decimal: string;
  /** An amount of the currency that stands in the column `currency` of the same row. */
  money: string;
  flag: boolean;
  operations: Operations;
  /** Ids; their numbers in the annex on a page. */
  references: readonly string[];
}
type Kind = keyof Values;
export type Value = Values[Kind];

export interface Column<K extends Kind = Kind> {
  readonly kind: K;
  /** Heading on a page. */
  readonly label: string;
  /** Decimal places on a page; without it as many as the figures bear. A CSV has every digit. */
  readonly places?: number;
  /** Column of the expanded uncertainty of this one's figures, which says how many places they bear. */
  readonly uncertainty?: string;
  /** Expanded uncertainties themselves. */
  readonly isUncertainty?: boolean;
  /** Part of what a value says; without it all of an instant, and the number of an operation. */
  readonly part?: 'day' | 'time' | 'name' | 'goods' | 'count' | 'recipient';
  /** Left out of a CSV, which has it in other columns. */
  readonly pageOnly?: boolean;
}
/** By the heading in a CSV, in their order. */
type Columns = Readonly<Record<string, Column>>;

interface RowMarks {
  /** A sum, or something to be looked at: a page sets it in bold. */
  readonly emphasised?: boolean;
  /** A row that a page leaves out. */
  readonly csvOnly?: boolean;
}
type RowOf<C extends Columns> = { readonly [N in keyof C]?: Values[C[N]['kind']] } & RowMarks;

/** One part of a document as a table: it is described once, and each format renders it. */
export interface ReportTable {
  /** Name of the file in a ZIP. */
  readonly name: string;
  readonly columns: Columns;
  readonly rows: readonly (Readonly<Record<string, Value | undefined>> & RowMarks)[];
}

/** A table whose rows have cells of its columns only; a cell without a value is empty. */
export const tableOf = <C extends Columns>(name: string, columns: C, rows: readonly RowOf<C>[]): ReportTable => ({
  name,
  columns,
  rows: rows as ReportTable['rows'],
});

export const text = (label: string): Column<'text'> => ({ kind: 'text', label });
export const code = (label: string): Column<'code'> => ({ kind: 'code', label });
export const instant = (label: string): Column<'instant'> => ({ kind: 'instant', label });
export const flag = (label: string): Column<'flag'> => ({ kind: 'flag', label });
export const number = (label: string, places?: number): Column<'number'> => ({ kind: 'number', label, places });
export const litres = (label: string, places?: number): Column<'litres'> => ({ kind: 'litres', label, places });
export const decimal = (label: string): Column<'decimal'> => ({ kind: 'decimal', label });
export const money = (label: string): Column<'money'> => ({ kind: 'money', label });
export const operations = (label: string): Column<'operations'> => ({ kind: 'operations', label });
/** The day or the time of a moment, on a page alone. */
export const instantPart = (label: string, part: 'day' | 'time'): Column<'instant'> => ({
  kind: 'instant',
  label,
  part,
  pageOnly: true,
});
/** The name of an operation, its goods, their count or who received them, on a page alone: the evidence has them as data. */
export const operationPart = (label: string, part: 'name' | 'goods' | 'count' | 'recipient'): Column<'operations'> => ({
  kind: 'operations',
  label,
  part,
  pageOnly: true,
});
/** A column that a CSV leaves out. */
export const onPageOnly = <K extends Kind>(column: Column<K>): Column<K> => ({ ...column, pageOnly: true });

/** Figures with the column of their expanded uncertainties. */
export const bearing = <K extends Kind>(uncertainty: string, column: Column<K>): Column<K> => ({
  ...column,
  uncertainty,
});
/** Expanded uncertainties. */
export const expanded = <K extends Kind>(column: Column<K>): Column<K> => ({ ...column, isUncertainty: true });

export const references = (label: string): Column<'references'> => ({ kind: 'references', label });

/** Columns of an amount in all its measures. */
export const AMOUNT = {
  litres: litres('Litres'),
  litres_of_pure_alcohol: litres('L pure alcohol'),
  fermented: litres('Fermented'),
  added: litres('Added'),
};

/** Columns of a figure: an amount with its expanded uncertainties. */
export const FIGURES = {
  ...AMOUNT,
  litres: bearing('expanded_uncertainty_litres', AMOUNT.litres),
  litres_of_pure_alcohol: bearing('expanded_uncertainty_litres_of_pure_alcohol', AMOUNT.litres_of_pure_alcohol),
  fermented: bearing('expanded_uncertainty_litres_of_pure_alcohol', AMOUNT.fermented),
  added: bearing('expanded_uncertainty_litres_of_pure_alcohol', AMOUNT.added),
  expanded_uncertainty_litres: expanded(litres('U, L')),
  expanded_uncertainty_litres_of_pure_alcohol: expanded(litres('U, L pure')),
};

type AmountValues = Pick<Figures, 'litres' | 'litresOfPureAlcohol' | 'fermented' | 'added'>;

export const amountCells = (amount: AmountValues): RowOf<typeof AMOUNT> => ({
  litres: amount.litres,
  litres_of_pure_alcohol: amount.litresOfPureAlcohol,
  fermented: amount.fermented,
  added: amount.added,
});

export const figureCells = (
  figures: AmountValues & Partial<Pick<Figures, 'expandedUncertainty'>>,
): RowOf<typeof FIGURES> => ({
  ...amountCells(figures),
  expanded_uncertainty_litres: figures.expandedUncertainty?.litres,
  expanded_uncertainty_litres_of_pure_alcohol: figures.expandedUncertainty?.litresOfPureAlcohol,
});
