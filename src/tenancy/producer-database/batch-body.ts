import { columnName } from '../../platform/database/column-name.js';
import type { Batch, Facts } from './batch.js';

const named = (row: Facts): Facts =>
  Object.fromEntries(Object.entries(row).map(([name, value]) => [columnName(name), value]));

/** The rows of a batch as the body of the trail has them: by the names of tables and columns. What stands in a JSON column stays as it is. */
export const bodyRows = ({ rows, accounts, operations }: Batch): Facts => ({
  ...(rows === undefined
    ? {}
    : { rows: Object.fromEntries(Object.entries(rows).map(([table, each]) => [columnName(table), each.map(named)])) }),
  ...(accounts === undefined ? {} : { accounts: accounts.map(named) }),
  ...(operations === undefined
    ? {}
    : { operations: operations.map((row) => ({ ...named(row), postings: row.postings.map(named) })) }),
});
