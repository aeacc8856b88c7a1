import type { Content, ContentTable, StyleDictionary, TableCell } from 'pdfmake/interfaces.js';
import type { PdfDefinition } from './pdf-maker.js';
import { FONT_FAMILY } from './pdf-maker.js';

/** Points between the edges of an A4 page and its text. */
const SIDE = 42;
const A4_WIDTH = 595.28;
/** Width of a table or chart at the most, in points. */
const TEXT_WIDTH = A4_WIDTH - 2 * SIDE;

const INK = '#1a1a1a';
const QUIET = '#555555';
const RULE = '#9a9a9a';
const HEAD_FILL = '#e9e9e6';

const SIMULATED_SHORT = 'SIMULATION: invented data';
export const SIMULATED = 'SIMULATION: invented data. None of this happened.';

const STYLES: StyleDictionary = {
  title: { fontSize: 22, bold: true, margin: [0, 0, 0, 4] },
  subtitle: { fontSize: 12, color: QUIET, margin: [0, 0, 0, 12] },
  h1: { fontSize: 13, bold: true, margin: [0, 16, 0, 6] },
  h2: { fontSize: 10.5, bold: true, margin: [0, 10, 0, 4] },
  quiet: { color: QUIET, fontSize: 8.5 },
  small: { fontSize: 8 },
  head: { bold: true, fontSize: 8 },
};

/** Points on either side of a cell's text. */
const PADDING = 4;
/** Rows that stay with the head of their table. */
const ROWS_WITH_HEAD = 2;
/** Points that a column of what is left over has at the least. */
const NARROWEST = 36;

export interface Frame {
  readonly title: string;
  readonly createdAt: Date;
  /** Left in the head of every page but the first. */
  readonly runningHead: string;
  /** Left in the foot of every page. */
  readonly runningFoot: string;
  readonly simulated: boolean;
}

/** The page that every document of the program stands on: running head, foot with page x of y, and the mark of a simulation. */
export const onPages = (frame: Frame, content: Content[]): PdfDefinition => ({
  title: frame.title,
  createdAt: frame.createdAt,
  pageSize: 'A4',
  pageMargins: [SIDE, 52, SIDE, 52],
  defaultStyle: { font: FONT_FAMILY, fontSize: 9, color: INK, lineHeight: 1.15 },
  styles: structuredClone(STYLES),
  header: (page: number) => ({
    margin: [SIDE, 24, SIDE, 0],
    fontSize: 8,
    color: QUIET,
    columns: [
      { width: '*', text: page === 1 ? '' : frame.runningHead },
      { width: 'auto', text: frame.simulated ? SIMULATED_SHORT : '', bold: true, alignment: 'right' },
    ],
  }),
  footer: (page: number, pages: number) => ({
    margin: [SIDE, 16, SIDE, 0],
    fontSize: 8,
    color: QUIET,
    columns: [
      { width: '*', text: frame.runningFoot },
      { width: 'auto', text: `Page ${page} of ${pages}`, alignment: 'right' },
    ],
  }),
  content,
});

export const h1 = (text: string): Content => ({ text, style: 'h1' });
export const h2 = (text: string): Content => ({ text, style: 'h2' });
export const quiet = (text: string): Content => ({ text, style: 'quiet', margin: [0, 3, 0, 2] });

export interface Column {
  readonly head: string;
  /** Points; `*` takes what is left. */
  readonly width: number | '*';
  readonly right?: boolean;
}

/** A cell is a text, or an emphasised one. */
export type Cell = string | { readonly bold: string };

export const bolded = (texts: readonly string[]): Cell[] => texts.map((text) => ({ bold: text }));

/** The columns of a figure, as a view of a table shows them. */
export const FIGURES_SHOWN: readonly (readonly [name: string, width: number])[] = [
  ['litres', 74],
  ['litres_of_pure_alcohol', 74],
  ['expanded_uncertainty_litres', 42],
  ['expanded_uncertainty_litres_of_pure_alcohol', 44],
];

export interface TableOptions {
  /** Said where there is no row. */
  readonly none?: string;
}

const cellOf = (cell: Cell, { right }: Column): TableCell => {
  const alignment = right === true ? 'right' : 'left';
  const text = breakable(typeof cell === 'string' ? cell : cell.bold);
  return { text, bold: typeof cell !== 'string', alignment, fontSize: 8 };
};

/** Codes and hashes without a space may break, or they would run out of their column. */
const LONGEST_WORD = 24;
const breakable = (text: string): string =>
  text.replace(new RegExp(`[^\\s]{${LONGEST_WORD},}`, 'g'), (word) => word.replace(/(.{8})(?=.)/gu, '$1\u200b'));

/** @throws RangeError where columns would run over the edge of the page */
function requireRoom(columns: readonly Column[]): void {
  const taken = columns.reduce((sum, { width }) => sum + 2 * PADDING + (width === '*' ? NARROWEST : width), 0);
  if (taken > TEXT_WIDTH) {
    throw new RangeError(`Columns of ${taken} points do not fit into ${TEXT_WIDTH}.`);
  }
}

/** A table whose heads come again on each page and whose rows are not torn apart; words in its place where it is empty. */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  options: TableOptions = {},
): Content {
  if (rows.length === 0) {
    return quiet(options.none ?? 'None.');
  }
  requireRoom(columns);
  const made: ContentTable = {
    table: {
      headerRows: 1,
      keepWithHeaderRows: Math.min(ROWS_WITH_HEAD, rows.length),
      dontBreakRows: true,
      widths: columns.map(({ width }) => width),
      body: [
        columns.map((column) => ({
          text: column.head,
          style: 'head',
          fillColor: HEAD_FILL,
          alignment: column.right === true ? 'right' : 'left',
        })),
        ...rows.map((row) => row.map((cell, index) => cellOf(cell, columns[index]))),
      ],
    },
    layout: {
      hLineWidth: (index, { table: { body, headerRows = 1 } }) =>
        index < headerRows - 1 ? 0 : index <= headerRows || index === body.length ? 0.7 : 0.25,
      vLineWidth: () => 0,
      hLineColor: () => RULE,
      paddingLeft: () => PADDING,
      paddingRight: () => PADDING,
      paddingTop: () => 2,
      paddingBottom: () => 1.5,
    },
    margin: [0, 2, 0, 0],
  };
  return made;
}

/** Names and what they stand for, one a line. */
export const factList = (facts: readonly (readonly [string, string])[]): Content => ({
  table: {
    widths: [110, '*'],
    body: facts.map(([name, value]) => [{ text: name, color: QUIET }, { text: breakable(value) }]),
  },
  layout: { defaultBorder: false, paddingLeft: () => 0, paddingTop: () => 1, paddingBottom: () => 1 },
  margin: [0, 0, 0, 8],
});

/** Text in a frame, not to be overlooked. */
export const boxed = (text: string): Content => ({
  table: { widths: ['*'], body: [[{ text, bold: true, fontSize: 11, margin: [6, 4, 6, 4] }]] },
  layout: { hLineWidth: () => 1.2, vLineWidth: () => 1.2, hLineColor: () => INK, vLineColor: () => INK },
  margin: [0, 4, 0, 12],
});

/** Content that stays on one page. */
export const together = (stack: Content[]): Content => ({ unbreakable: true, stack });

/** A table under its heading, which comes again with the heads of the columns; so no heading stands alone at the end of a page. */
export function titled(heading: Content[], content: Content): Content {
  const inner = typeof content === 'object' && 'table' in content ? content.table : undefined;
  // A list of facts has no heads to come again.
  if (inner?.headerRows === undefined) {
    return together([...heading, content]);
  }
  const { body, headerRows } = inner;
  const title: TableCell = { stack: heading, colSpan: body[0].length, margin: [-PADDING, 0, 0, 2] };
  const spanned = body[0].slice(1).map((): TableCell => ({}));
  return {
    ...(content as ContentTable),
    table: { ...inner, headerRows: headerRows + 1, body: [[title, ...spanned], ...body] },
  };
}

/** Charts under their titles, all on one page. */
export const charts = (list: readonly { readonly title: string; readonly svg: string }[]): Content => ({
  unbreakable: true,
  stack: list.flatMap(({ title, svg }): Content[] => [
    { text: title, style: 'h2' },
    { svg, width: TEXT_WIDTH },
  ]),
});
