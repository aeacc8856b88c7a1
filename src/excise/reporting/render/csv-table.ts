import { stringify } from 'csv-stringify/sync';
import type { Litres } from '../../../ledger/books/litres.dto.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import { canonicalText, Exact } from '../../../metrology/decimals.js';
import { csvText } from '../../../platform/csv-text.js';
import { exactMoney } from './figures-text.js';
import type { Column, Operations, ReportTable, Value } from './report-table.js';

/** Texts are neutralised for spreadsheets; numbers stay numbers, so that a minus sign is not taken for a formula. */
function csvCell({ kind }: Column, value: Value | undefined, row: ReportTable['rows'][number]): string {
  if (value === undefined) {
    return '';
  }
  switch (kind) {
    case 'litres':
      return canonicalText(litresOf(value as Litres));
    case 'number':
      return canonicalText(new Exact(value as number));
    case 'operations':
      return (value as Operations).link;
    case 'references':
      return (value as readonly string[]).join(' ');
    case 'money':
      return exactMoney({ amount: value as string, currency: String(row.currency) });
    case 'decimal':
    case 'flag':
      return String(value);
    default:
      return csvText(String(value));
  }
}

const columnsOf = ({ columns }: ReportTable): [string, Column][] =>
  Object.entries(columns).filter(([, { pageOnly }]) => pageOnly !== true);

const record = (table: ReportTable, row: ReportTable['rows'][number]): Record<string, string> =>
  Object.fromEntries(columnsOf(table).map(([name, column]) => [name, csvCell(column, row[name], row)]));

const csvOf = (columns: readonly string[], rows: readonly Record<string, string>[]): string =>
  stringify([...rows], { header: true, columns: [...columns], record_delimiter: 'windows' });

/** A table as RFC 4180 text. */
export const tableCsv = (table: ReportTable): string =>
  csvOf(
    columnsOf(table).map(([name]) => name),
    table.rows.map((row) => record(table, row)),
  );

/** All tables in one: each row names its table, and has values in the columns of that table only. */
export const tablesCsv = (tables: readonly ReportTable[]): string =>
  csvOf(
    ['table', ...new Set(tables.flatMap((table) => columnsOf(table).map(([name]) => name)))],
    tables.flatMap((table) => table.rows.map((row) => ({ table: table.name, ...record(table, row) }))),
  );
