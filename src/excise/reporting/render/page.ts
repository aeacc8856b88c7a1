import type { Content, StyleDictionary, TableCell } from 'pdfmake/interfaces.js';
import { bookmark, continuedOn } from './outline.js';
import type { PageTable } from './page-table.js';
import { breakable, PADDING, QUIET, SIDE, TEXT_WIDTH } from './page-table.js';
export { bolded, table } from './page-table.js';
export type { Cell } from './page-table.js';
import type { PdfDefinition } from './pdf-maker.js';
import { FONT_FAMILY } from './pdf-maker.js';

const INK = '#1a1a1a';
/** Points above the text of a page. */
const TOP = 56;

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

export interface Frame {
  readonly title: string;
  readonly createdAt: Date;
  /** Left in the head of every page but the first. */
  readonly runningHead: string;
  /** Left in the foot of every page. */
  readonly runningFoot: string;
  readonly simulated: boolean;
}

/**
 * The page that every document of the program stands on: running head, foot with page x of y, the mark of a simulation,
 * bookmarks of its headings, and the word for a table that goes on.
 */
export function onPages(frame: Frame, content: Content[]): PdfDefinition {
  const tables = bookmark(content);
  return {
    title: frame.title,
    createdAt: frame.createdAt,
    language: 'en-GB',
    displayTitle: true,
    pageSize: 'A4',
    pageMargins: [SIDE, TOP, SIDE, 52],
    defaultStyle: { font: FONT_FAMILY, fontSize: 9, color: INK, lineHeight: 1.15 },
    styles: structuredClone(STYLES),
    header: (page: number) => ({
      fontSize: 8,
      color: QUIET,
      stack: [
        {
          margin: [SIDE, 24, SIDE, 0],
          columns: [
            { width: '*', text: page === 1 ? '' : frame.runningHead },
            { width: 'auto', text: frame.simulated ? SIMULATED_SHORT : '', bold: true, alignment: 'right' },
          ],
        },
        { text: continuedOn(page, tables), alignment: 'right', margin: [SIDE, 4, SIDE, 0] },
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
  };
}

export const h1 = (text: string): Content => ({ text, style: 'h1' });
export const h2 = (text: string): Content => ({ text, style: 'h2' });
export const quiet = (text: string): Content => ({ text, style: 'quiet', margin: [0, 3, 0, 2] });

/** The columns of a figure, as a view of a table shows them. */
export const FIGURES_SHOWN: readonly (readonly [name: string, width: number])[] = [
  ['litres', 74],
  ['expanded_uncertainty_litres', 42],
  ['litres_of_pure_alcohol', 74],
  ['expanded_uncertainty_litres_of_pure_alcohol', 44],
];

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
  // A list of facts has no heads to come again.
  if (typeof content !== 'object' || !('groups' in content)) {
    return together([...heading, content]);
  }
  const page = content as PageTable;
  const { body, headerRows = 0 } = page.table;
  const title: TableCell = { stack: heading, colSpan: body[0].length, margin: [-PADDING, 0, 0, 2] };
  const spanned = body[0].slice(1).map((): TableCell => ({}));
  const made: PageTable = {
    ...page,
    table: { ...page.table, headerRows: headerRows + 1, body: [[title, ...spanned], ...body] },
  };
  return made;
}

/** Charts, each with its title on the same page. */
export const charts = (list: readonly { readonly title: string; readonly svg: string }[]): Content => ({
  stack: list.map(({ title, svg }) =>
    together([
      { text: title, style: 'h2' },
      { svg, width: TEXT_WIDTH },
    ]),
  ),
});
