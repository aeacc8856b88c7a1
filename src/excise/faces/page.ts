import type { Content, ContentTable, TableCell } from 'pdfmake/interfaces.js';
import type { PdfDefinition } from './pdf-maker.js';
import { FONT_FAMILY } from './pdf-maker.js';

/** Points between the edges of an A4 page and its text. */
const SIDE = 42;
const A4_WIDTH = 595.28;
/** What a table or chart may take across. */
export const TEXT_WIDTH = A4_WIDTH - 2 * SIDE;

export const INK = '#1a1a1a';
const QUIET = '#555555';
const RULE = '#9a9a9a';
const HEAD_FILL = '#e9e9e6';

export const SIMULATED = 'SIMULATION: invented data. None of this happened.';

const STYLES = {
  title: { fontSize: 22, bold: true, margin: [0, 0, 0, 4] },
  subtitle: { fontSize: 12, color: QUIET, margin: [0, 0, 0, 12] },
  h1: { fontSize: 13, bold: true, margin: [0, 16, 0, 6] },
  h2: { fontSize: 10.5, bold: true, margin: [0, 10, 0, 4] },
  quiet: { color: QUIET, fontSize: 8.5 },
  small: { fontSize: 8 },
  head: { bold: true, fontSize: 8 },
} as const;

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
  styles: structuredClone(STYLES) as PdfDefinition['styles'],
  header: (page: number) => ({
    margin: [SIDE, 24, SIDE, 0],
    fontSize: 8,
    color: QUIET,
    columns: [
      { width: '*', text: page === 1 ? '' : frame.runningHead },
      { width: 'auto', text: frame.simulated ? SIMULATED : '', bold: true, alignment: 'right' },
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
  // A heading never stands last on a page.
  pageBreakBefore: (node, { getFollowingNodesOnPage }) =>
    node.headlineLevel !== undefined && getFollowingNodesOnPage().length === 0,
  content,
});

export const h1 = (text: string): Content => ({ text, style: 'h1', headlineLevel: 1 });
export const h2 = (text: string): Content => ({ text, style: 'h2', headlineLevel: 2 });
export const quiet = (text: string): Content => ({ text, style: 'quiet', margin: [0, 0, 0, 4] });

export interface Column {
  readonly head: string;
  readonly width: number | 'auto' | '*';
  readonly right?: boolean;
}

/** A cell is a text, or an emphasised one. */
export type Cell = string | { readonly bold: string };

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

/** A table whose heads come again on each page and whose rows are not torn apart; words in its place where it is empty. */
export function table(columns: readonly Column[], rows: readonly (readonly Cell[])[], options: TableOptions = {}): Content {
  if (rows.length === 0) {
    return quiet(options.none ?? 'None.');
  }
  const made: ContentTable = {
    table: {
      headerRows: 1,
      keepWithHeaderRows: 1,
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
      hLineWidth: (index, { table: { body } }) => (index <= 1 || index === body.length ? 0.7 : 0.25),
      vLineWidth: () => 0,
      hLineColor: () => RULE,
      paddingLeft: () => 3,
      paddingRight: () => 3,
      paddingTop: () => 2,
      paddingBottom: () => 1.5,
    },
    margin: [0, 2, 0, 8],
  };
  return made;
}

/** Names and what they stand for, one a line. */
export const factList = (facts: readonly (readonly [string, string])[]): Content => ({
  table: {
    widths: [110, '*'],
    body: facts.map(([name, value]) => [
      { text: name, color: QUIET },
      { text: breakable(value) },
    ]),
  },
  layout: { defaultBorder: false, paddingLeft: () => 0, paddingTop: () => 1, paddingBottom: () => 1 },
  margin: [0, 0, 0, 8],
});

/** What must not be overlooked, in a frame. */
export const boxed = (text: string): Content => ({
  table: { widths: ['*'], body: [[{ text, bold: true, fontSize: 11, margin: [6, 4, 6, 4] }]] },
  layout: { hLineWidth: () => 1.2, vLineWidth: () => 1.2, hLineColor: () => INK, vLineColor: () => INK },
  margin: [0, 4, 0, 12],
});

/** A chart under its title; the two stay together. */
export const chart = (title: string, svg: string): Content => ({
  unbreakable: true,
  stack: [{ text: title, style: 'h2' }, { svg, width: TEXT_WIDTH }],
});
