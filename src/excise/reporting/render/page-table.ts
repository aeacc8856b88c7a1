import type { Content, ContentTable, CustomTableLayout, TableCell } from 'pdfmake/interfaces.js';

export const QUIET = '#555555';
const RULE = '#9a9a9a';
const HEAD_FILL = '#e9e9e6';

/** Points between the edges of an A4 page and its text. */
export const SIDE = 42;
const A4_WIDTH = 595.28;
/** Width of a table or chart at the most, in points. */
export const TEXT_WIDTH = A4_WIDTH - 2 * SIDE;

/** Points on either side of a cell's text. */
export const PADDING = 4;
const ABOVE = 2;
const BELOW = 1.5;
const FONT_SIZE = 8;
/** Rows that stay together at the beginning and at the end of a table and of a group in it. */
const ROWS_TOGETHER = 5;
/** Points that rows which stay together may take: more would leave too much of the page before them empty. */
const MOST_TOGETHER = 230;
/** Points that a column of what is left over has at the least. */
const NARROWEST = 36;
/** Rough width of a letter and height of a line, in points: enough to tell a row of ten lines from one of one. */
const LETTER = 4.2;
const LINE = 9.6;
/** Widths of a digit and of the decimal point, in points, of the regular and of the bold font. */
const DIGIT = { regular: (1151 / 2048) * FONT_SIZE, bold: (1164 / 2048) * FONT_SIZE };
const POINT = { regular: (540 / 2048) * FONT_SIZE, bold: (569 / 2048) * FONT_SIZE };

export interface Column {
  readonly head: string;
  /** Points; `*` takes what is left. */
  readonly width: number | '*';
  readonly right?: boolean;
}

/** A figure, which may have fewer decimal places than the longest of its column. */
interface Figure {
  readonly figure: string;
  readonly bold: boolean;
  readonly shorterBy: number;
}

/** A cell is a text, an emphasised one, or a figure that stands under the decimal point of its column. */
export type Cell = string | { readonly bold: string } | Figure;

export const bolded = (texts: readonly string[]): Cell[] => texts.map((text) => ({ bold: text }));

/** A row, or the name that the rows after it have in common. */
export type TableRow = readonly Cell[] | { readonly group: string };

export interface TableOptions {
  /** Said where there is no row. */
  readonly none?: string;
  /** Said under the last row, and never apart from it. */
  readonly note?: string;
}

const isGroup = (row: TableRow): row is { readonly group: string } => 'group' in row;
const textOf = (cell: Cell): string => (typeof cell === 'string' ? cell : 'figure' in cell ? cell.figure : cell.bold);

/** Codes and hashes without a space may break, or they would run out of their column. */
const LONGEST_WORD = 24;
const LONG_WORDS = new RegExp(`[^\\s]{${LONGEST_WORD},}`, 'g');
export const breakable = (text: string): string =>
  text.replace(LONG_WORDS, (word) => word.replace(/(.{8})(?=.)/gu, '$1\u200b'));

/** Points right of a figure, so that its decimal point stands under the others. */
function indentOf({ figure, bold, shorterBy }: Figure): number {
  const weight = bold ? 'bold' : 'regular';
  return shorterBy * DIGIT[weight] + (shorterBy > 0 && !figure.includes('.') ? POINT[weight] : 0);
}

function cellOf(cell: Cell, { right }: Column): TableCell {
  const text = breakable(textOf(cell));
  const common = { alignment: right === true ? 'right' : 'left', fontSize: FONT_SIZE } as const;
  if (typeof cell === 'string') {
    return { text, ...common };
  }
  const indent = 'figure' in cell ? indentOf(cell) : 0;
  const bold = 'figure' in cell ? cell.bold : true;
  return { text, ...(bold ? { bold } : {}), ...common, ...(indent === 0 ? {} : { margin: [0, 0, indent, 0] }) };
}

/** A cell over all columns, with empty ones for those that it covers. */
const spanning = (cell: TableCell, columns: number): TableCell[] => [
  { ...(cell as object), colSpan: columns } as TableCell,
  ...Array.from({ length: columns - 1 }, (): TableCell => ({})),
];

/** Share of its width that a column keeps at the least where all of them together are too wide. */
const NARROWED = 0.75;

/**
 * Columns with their widths in points; what is left goes to those that take it, or to the first.
 * @throws RangeError where columns would run over the edge of the page
 */
function resolved(columns: readonly Column[]): (Column & { width: number })[] {
  const open = columns.some(({ width }) => width === '*')
    ? columns
    : columns.map((column, at) => (at === 0 ? { ...column, width: '*' as const } : column));
  const room = TEXT_WIDTH - 2 * PADDING * open.length;
  const fixed = open.reduce((sum, { width }) => sum + (width === '*' ? 0 : width), 0);
  const takers = open.filter(({ width }) => width === '*').length;
  const factor = Math.min(1, (room - takers * NARROWEST) / fixed);
  if (factor < NARROWED) {
    throw new RangeError(`Columns of ${fixed} points do not fit into ${room}.`);
  }
  const share = (room - fixed * factor) / takers;
  return open.map((column) => ({ ...column, width: column.width === '*' ? share : column.width * factor }));
}

/** Rough height of a row in points. */
function heightOf(row: TableRow, columns: readonly (Column & { width: number })[]): number {
  const lines = isGroup(row)
    ? 1.5
    : Math.max(...row.map((cell, at) => Math.ceil((textOf(cell).length * LETTER) / columns[at].width)), 1);
  return lines * LINE + ABOVE + BELOW;
}

/** Groups of rows: the name that they have in common, if any, and the rows. */
function groupsOf(rows: readonly TableRow[]): TableRow[][] {
  const groups: TableRow[][] = [];
  for (const row of rows) {
    if (groups.length === 0 || isGroup(row)) {
      groups.push([]);
    }
    groups[groups.length - 1].push(row);
  }
  return groups;
}

/** Rows of a group that stay together: all of a short one, the first and the last ones of a longer one. */
function keptTogether(
  group: readonly TableRow[],
  columns: readonly (Column & { width: number })[],
): (readonly TableRow[])[] {
  const heads = isGroup(group[0]) ? 1 : 0;
  const first = heads + ROWS_TOGETHER;
  const height = (rows: readonly TableRow[]): number => rows.reduce((sum, row) => sum + heightOf(row, columns), 0);
  const runs =
    group.length < first + ROWS_TOGETHER
      ? [group]
      : [group.slice(0, first), ...group.slice(first, -ROWS_TOGETHER).map((row) => [row]), group.slice(-ROWS_TOGETHER)];
  return runs.flatMap((run) => (height(run) <= MOST_TOGETHER ? [run] : run.map((row) => [row])));
}

/** A cell that holds rows which stay together. */
type PrintedCell = TableCell & { readonly run?: true };

const layoutOf = (inner: boolean): CustomTableLayout => ({
  hLineWidth: (index, { table: { body, headerRows = 0 } }) =>
    inner
      ? index > 0 && index < body.length
        ? 0.25
        : 0
      : index < headerRows - 1
        ? 0
        : index <= headerRows || index === body.length
          ? 0.7
          : 0.25,
  vLineWidth: () => 0,
  hLineColor: () => RULE,
  paddingLeft: () => PADDING,
  paddingRight: () => PADDING,
  paddingTop: (index, { table: { body } }) => ((body[index][0] as PrintedCell).run === true ? 0 : ABOVE),
  paddingBottom: (index, { table: { body } }) => ((body[index][0] as PrintedCell).run === true ? 0 : BELOW),
});
const OUTER = layoutOf(false);
const INNER = layoutOf(true);

/** First and last text of a table or a group, from which the pages are known that it stands on. */
interface Extent {
  readonly name: string;
  readonly first: Placed;
  readonly last: Placed;
}
/** A text whose page is known after the layout, as it has an id. */
export interface Placed {
  id?: string;
  readonly positions?: readonly { readonly pageNumber: number }[];
}
/** A table on pages, with the extents of its groups. */
export type PageTable = ContentTable & { readonly groups: readonly Extent[] };

const nodeOf = (row: TableRow, columns: readonly (Column & { width: number })[]): TableCell[] =>
  isGroup(row)
    ? spanning({ text: row.group, bold: true, fontSize: FONT_SIZE, margin: [0, 3, 0, 0] }, columns.length)
    : row.map((cell, at) => cellOf(cell, columns[at]));

/** The text of a row by which its page is known. */
const placedIn = (row: readonly TableCell[]): Placed =>
  (row.find((cell) => (cell as { text?: unknown }).text !== '') ?? row[0]) as Placed;

/** Rows that stay together as one row of the printed table. */
function runOf(lines: TableCell[][], widths: number[]): TableCell[] {
  const margin: [number, number, number, number] = [-PADDING, 0, -PADDING, 0];
  const run: PrintedCell = { table: { widths, body: lines }, layout: INNER, margin, run: true };
  return lines.length === 1 ? lines[0] : spanning(run, widths.length);
}

/** A table whose heads come again on each page and whose rows are not torn apart; words in its place where it is empty. */
export function table(
  given: readonly Column[],
  rows: readonly TableRow[],
  { none = 'None.', note }: TableOptions = {},
): Content {
  if (rows.length === 0) {
    return { text: none, style: 'quiet', margin: [0, 3, 0, 2] };
  }
  const columns = resolved(given);
  const widths = columns.map(({ width }) => width);
  const groups = groupsOf(rows).map((group) => ({
    name: isGroup(group[0]) ? group[0].group : '',
    runs: keptTogether(group, columns).map((run) => run.map((row) => nodeOf(row, columns))),
  }));
  if (note !== undefined) {
    const said = { text: note, style: 'quiet', margin: [0, 2, 0, 0] } as TableCell;
    groups.at(-1)?.runs.at(-1)?.push(spanning(said, columns.length));
  }
  const extents = groups.map(({ name, runs }) => ({
    name,
    first: placedIn(runs[0][0]),
    last: placedIn(runs[runs.length - 1].at(-1) ?? []),
  }));
  const head = columns.map((column) => ({
    text: column.head,
    style: 'head',
    fillColor: HEAD_FILL,
    alignment: column.right === true ? 'right' : 'left',
  }));
  const made: PageTable = {
    table: {
      headerRows: 1,
      keepWithHeaderRows: 1,
      dontBreakRows: true,
      widths,
      body: [head as TableCell[], ...groups.flatMap(({ runs }) => runs.map((run) => runOf(run, widths)))],
    },
    layout: OUTER,
    margin: [0, 2, 0, 0],
    groups: extents,
  };
  return made;
}
