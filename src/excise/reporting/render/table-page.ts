import type { Content } from 'pdfmake/interfaces.js';
import { figureTexts, numberIn } from './figure-columns.js';
import { localTime, words } from './figures-text.js';
import { titled } from './page.js';
import type { Cell, TableRow } from './page-table.js';
import { table } from './page-table.js';
import type { Column, Operations, ReportTable, Value } from './report-table.js';

/** Texts of values that depend on the rest of the document. */
export interface PageContext {
  /** IANA name of the zone of the local times. */
  readonly timeZone: string;
  /** Number of an operation, or reference number of a figure; empty where there is none. */
  numberOf(operations: Operations): string;
  /** Number in the annex of what an id stands for. */
  referenceOf(id: string): string;
}

/** A column that is shown, by its name in a CSV, with its width in points; `*` takes the rest. */
export type ShownColumn = readonly [name: string, width: number | '*', label?: string];

export interface TableView {
  readonly heading: Content[];
  readonly shown: readonly ShownColumn[];
  /** Columns whose value stands once above the rows that have it in common. */
  readonly groupBy?: readonly string[];
  /** Text in place of an empty table. */
  readonly none?: string;
  /** Said under the last row. */
  readonly note?: string;
}

const RIGHT: ReadonlySet<Column['kind']> = new Set(['litres', 'number', 'decimal', 'operations']);
const NUMBERS: ReadonlySet<Column['kind']> = new Set(['litres', 'number', 'decimal']);

type Row = ReportTable['rows'][number];

function pageText({ kind }: Column, value: Value, context: PageContext): string {
  switch (kind) {
    case 'code':
      return words(value as string);
    case 'instant':
      return localTime(value as string, context.timeZone);
    case 'flag':
      return value === true ? 'yes' : 'no';
    case 'operations':
      return context.numberOf(value as Operations);
    case 'references':
      return (value as readonly string[]).map((id) => context.referenceOf(id)).join(' ');
    default:
      return String(value);
  }
}

/** A row that has numbers, all of them nothing; sums and what is to be looked at are shown all the same. */
function saysNothing({ columns }: ReportTable, row: Row, shown: readonly ShownColumn[]): boolean {
  const numbers = shown.flatMap(([name]) => numberIn(columns[name], row[name]) ?? []);
  return row.emphasised !== true && numbers.length > 0 && numbers.every((each) => each.isZero());
}

/** Texts of a column, by row; undefined where it says nothing in any row. */
function textsOf(table: ReportTable, name: string, rows: readonly Row[], context: PageContext): Cell[] | undefined {
  const column = table.columns[name];
  if (NUMBERS.has(column.kind)) {
    const figures = figureTexts(table, name, rows);
    const says = rows.some((row) => row[name] !== undefined && numberIn(column, row[name])?.isZero() !== true);
    return says
      ? figures.map((figure, at) =>
          figure === undefined
            ? String(rows[at][name] ?? '')
            : { figure: figure.text, shorterBy: figure.shorterBy, bold: rows[at].emphasised === true },
        )
      : undefined;
  }
  const texts = rows.map((row) => {
    const value = row[name];
    return value === undefined ? '' : pageText(column, value, context);
  });
  return texts.every((each) => each === '')
    ? undefined
    : texts.map((text, at) => (rows[at].emphasised === true && text !== '' ? { bold: text } : text));
}

/** Places of rows that have the values of some columns in common, by these; groups in the order of their first rows. */
function grouped(
  { columns }: ReportTable,
  rows: readonly Row[],
  by: readonly string[],
  context: PageContext,
): Map<string, number[]> {
  const groups = new Map<string, number[]>();
  rows.forEach((row, at) => {
    const texts = by.map((name) => (row[name] === undefined ? '' : pageText(columns[name], row[name], context)));
    const name = texts.filter((each) => each !== '').join(', ');
    const group = groups.get(name);
    if (group === undefined) {
      groups.set(name, [at]);
    } else {
      group.push(at);
    }
  });
  return groups;
}

/**
 * A table on a page under its heading: the columns that are shown, emphasised rows in bold, what rows have in common
 * once above them. A row or a column that is nothing throughout is left out; a CSV has it.
 */
export function tablePage(
  tables: ReportTable,
  { heading, shown, groupBy = [], none, note }: TableView,
  context: PageContext,
): Content {
  const rows = tables.rows.filter((row) => row.csvOnly !== true && !saysNothing(tables, row, shown));
  const filled = shown.flatMap(([name, width, label]) => {
    const texts = textsOf(tables, name, rows, context);
    const { kind, label: head } = tables.columns[name];
    return texts === undefined ? [] : [{ texts, column: { head: label ?? head, width, right: RIGHT.has(kind) } }];
  });
  const printed = [...grouped(tables, rows, groupBy, context)].flatMap(([group, places]): TableRow[] => [
    ...(group === '' ? [] : [{ group }]),
    ...places.map((at) => filled.map(({ texts }) => texts[at])),
  ]);
  return titled(
    heading,
    table(
      filled.map(({ column }) => column),
      printed,
      { none, note },
    ),
  );
}
