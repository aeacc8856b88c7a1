import type { Content } from 'pdfmake/interfaces.js';
import type { Litres } from '../../../ledger/books/litres.dto.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import { decimalText, fixed, localTime, plain, words } from './figures-text.js';
import { table, titled } from './page.js';
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
  /** Text in place of an empty table. */
  readonly none?: string;
}

const RIGHT: ReadonlySet<Column['kind']> = new Set(['litres', 'number', 'decimal', 'operations']);

function pageText({ kind, places }: Column, value: Value, context: PageContext): string {
  switch (kind) {
    case 'code':
      return words(value as string);
    case 'instant':
      return localTime(value as string, context.timeZone);
    case 'litres':
      return fixed(litresOf(value as Litres), places ?? 6);
    case 'number':
      return places === undefined ? plain(value as number) : fixed(value as number, places);
    case 'decimal':
      return decimalText(value as string);
    case 'flag':
      return value === true ? 'yes' : 'no';
    case 'operations':
      return context.numberOf(value as Operations);
    case 'references':
      return (value as readonly string[]).map((id) => context.referenceOf(id)).join(' ');
    case 'text':
      return value as string;
  }
}

/** A table on a page under its heading: the columns that are shown, emphasised rows in bold. */
export function tablePage(
  { columns, rows }: ReportTable,
  { heading, shown, none }: TableView,
  context: PageContext,
): Content {
  return titled(
    heading,
    table(
      shown.map(([name, width, label]) => ({
        head: label ?? columns[name].label,
        width,
        right: RIGHT.has(columns[name].kind),
      })),
      rows
        .filter(({ csvOnly }) => csvOnly !== true)
        .map((row) =>
          shown.map(([name]) => {
            const value = row[name];
            const cell = value === undefined ? '' : pageText(columns[name], value, context);
            return row.emphasised === true && cell !== '' ? { bold: cell } : cell;
          }),
        ),
      { none },
    ),
  );
}
