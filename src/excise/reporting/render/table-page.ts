import type { Content } from 'pdfmake/interfaces.js';
import { grouped } from '../../../platform/grouped.js';
import { operationNoun } from '../../../platform/words.js';
import { figureTexts, numberIn } from './figure-columns.js';
import { fixed, localTime, words } from './figures-text.js';
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
  /** An operation by its names; undefined where it is not known. */
  operationOf?(operations: Operations): NamedOperation | undefined;
}

interface NamedOperation {
  readonly kind: string;
  readonly movementKind?: string;
  readonly product?: string;
  readonly count?: number;
  readonly recipient?: string;
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

const NUMBERS: ReadonlySet<Column['kind']> = new Set(['litres', 'number', 'decimal', 'money']);

type Row = ReportTable['rows'][number];

/** Numbers stand at the right, those of operations among them. */
const isRight = ({ kind, part }: Column): boolean =>
  NUMBERS.has(kind) || (kind === 'operations' && (part === undefined || part === 'count'));

/** Text of an operation in a column: its number or the reference of a figure, its name, its goods, or who received them. */
function operationText({ part }: Column, value: Operations, context: PageContext): string {
  const operation = context.operationOf?.(value);
  switch (part) {
    case 'name':
      return operation === undefined ? '' : operationNoun(operation.movementKind ?? operation.kind);
    case 'goods':
      return operation?.product ?? value.goods ?? '';
    case 'count':
      return operation?.count === undefined ? '' : fixed(operation.count, 0);
    case 'recipient':
      return operation?.recipient ?? '';
    default:
      return context.numberOf(value);
  }
}

function instantText({ part }: Column, value: string, { timeZone }: PageContext): string {
  const text = localTime(value, timeZone);
  return part === 'day' ? text.slice(0, 10) : part === 'time' ? text.slice(11) : text;
}

function pageText(column: Column, value: Value, context: PageContext): string {
  switch (column.kind) {
    case 'code':
      return words(value as string);
    case 'instant':
      return instantText(column, value as string, context);
    case 'flag':
      return value === true ? 'yes' : 'no';
    case 'operations':
      return operationText(column, value as Operations, context);
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

/** A table with columns of numbers, every one of them nothing, its sums among them. */
function allNothing({ columns }: ReportTable, rows: readonly Row[], shown: readonly ShownColumn[]): boolean {
  const numbers = rows.flatMap((row) => shown.flatMap(([name]) => numberIn(columns[name], row[name]) ?? []));
  return numbers.length > 0 && numbers.every((each) => each.isZero());
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

/** Words that a row has in common with others. */
const groupOf = ({ columns }: ReportTable, row: Row, by: readonly string[], context: PageContext): string =>
  by
    .map((name) => (row[name] === undefined ? '' : pageText(columns[name], row[name], context)))
    .filter((each) => each !== '')
    .join(', ');

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
    const { label: head } = tables.columns[name];
    return texts === undefined
      ? []
      : [{ texts, column: { head: label ?? head, width, right: isRight(tables.columns[name]) } }];
  });
  const groups = grouped([...rows.keys()], (at) => groupOf(tables, rows[at], groupBy, context));
  const printed = [...groups].flatMap(([group, places]): TableRow[] => [
    ...(group === '' ? [] : [{ group }]),
    ...places.map((at) => filled.map(({ texts }) => texts[at])),
  ]);
  return titled(
    heading,
    table(
      filled.map(({ column }) => column),
      allNothing(tables, rows, shown) ? [] : printed,
      { none, note },
    ),
  );
}
