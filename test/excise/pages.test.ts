import type { Content } from 'pdfmake/interfaces.js';
import { h1, h2, onPages, table, titled } from '../../src/excise/reporting/render/page.js';
import { makePdf } from '../../src/excise/reporting/render/pdf-maker.js';
import {
  bearing,
  code,
  decimal,
  expanded,
  litres,
  number,
  tableOf,
  text,
} from '../../src/excise/reporting/render/report-table.js';
import type { PageContext, ShownColumn } from '../../src/excise/reporting/render/table-page.js';
import { tablePage } from '../../src/excise/reporting/render/table-page.js';
import type { PageNode } from '../support/page-text.js';
import { rowsOn, textNodes, textsOn } from '../support/page-text.js';

const CONTEXT: PageContext = { timeZone: 'UTC', numberOf: () => '', referenceOf: (id) => id };
const L = (value: number) => ({ value, unit: 'L' as const });
const FRAME = { title: 'T', createdAt: new Date(0), runningHead: 'T', runningFoot: 'T', simulated: false };

const MEASURED = {
  line: code('Line'),
  category: text('Category'),
  litres: bearing('u', litres('Litres')),
  u: expanded(litres('U')),
  count: number('Count'),
  rate: decimal('Rate'),
  declared: number('Declared'),
};
const SHOWN: readonly ShownColumn[] = [
  ['line', '*'],
  ['litres', 70],
  ['u', 50],
  ['count', 40],
  ['rate', 40],
  ['declared', 40],
];
const measured = (rows: Parameters<typeof tableOf<typeof MEASURED>>[2], groupBy: readonly string[] = []): Content =>
  tablePage(tableOf('t', MEASURED, rows), { heading: [h1('Measured')], shown: SHOWN, groupBy }, CONTEXT);
const textsOf = (content: Content): string[][] => rowsOn(content).map((row) => textsOn(row));

test('a figure has the place of the second digit of its uncertainty, JCGM 100:2008 7.2.6', () => {
  // The value of the guide's example: 10.057 62 with 0.027 is 10.058.
  const rows = textsOf(
    measured([
      { line: 'guide', litres: L(10.05762), u: L(0.027) },
      { line: 'coarse', litres: L(-5012.3456), u: L(12.345) },
      { line: 'up', litres: L(1.25), u: L(0.0996) },
      { line: 'exact', litres: L(39.6), u: L(0) },
      { line: 'nothing', litres: L(0), u: L(0), emphasised: true },
    ]),
  ).slice(2);
  expect(rows).toEqual([
    ['guide', '10.058', '0.027'],
    ['coarse', '−5\u00a0012', '12'],
    ['up', '1.25', '0.10'],
    ['exact', '39.6', '0'],
    ['nothing', '0', '0'],
  ]);
});

test('decimal points stand below each other: what a figure has fewer is white to its right', () => {
  const content = measured([
    { line: 'fine', litres: L(10.05762), u: L(0.027) },
    { line: 'coarse', litres: L(5012.3456), u: L(12.345) },
  ]);
  const [fine, coarse] = rowsOn(content).slice(2);
  // Widths of the font in 2048ths of its size of 8 points: a digit 1151, the point 540.
  expect(fine[1].margin).toBeUndefined();
  expect(coarse[1].margin?.[2]).toBeCloseTo(((3 * 1151 + 540) / 2048) * 8, 6);
  expect(coarse[2].margin?.[2]).toBeCloseTo(((3 * 1151 + 540) / 2048) * 8, 6);
});

test('figures without an uncertainty have one pattern in a column', () => {
  const rows = textsOf(
    measured([
      { line: 'a', declared: 4.5, rate: '9.27', count: 12 },
      { line: 'b', declared: 40, rate: '31.64', count: 1200 },
    ]),
  );
  expect(rows[2]).toEqual(['a', '12', '9.27', '4.5']);
  expect(rows[3]).toEqual(['b', '1\u00a0200', '31.64', '40.0']);
});

test('a row or a column that is nothing throughout is left out; a sum stays', () => {
  const rows = textsOf(
    measured([
      { line: 'a', litres: L(1), u: L(0), count: 0, rate: '0.00' },
      { line: 'b', litres: L(0), u: L(0), count: 0, rate: '0.00' },
      { line: 'closing', litres: L(0), u: L(0), rate: '0.00', emphasised: true },
    ]),
  );
  expect(rows.slice(1)).toEqual([
    ['Line', 'Litres'],
    ['a', '1'],
    ['closing', '0'],
  ]);
  expect(textsOn(measured([{ line: 'b', litres: L(0), u: L(0) }]))).toEqual(['Measured', 'None.']);
});

test('what rows have in common stands once above them, in the order of their first rows', () => {
  const rows = textsOf(
    measured(
      [
        { line: 'a', category: 'beer', litres: L(1), u: L(0) },
        { line: 'b', category: 'cider', litres: L(2), u: L(0) },
        { line: 'c', category: 'beer', litres: L(3), u: L(0) },
      ],
      ['category'],
    ),
  );
  expect(rows.slice(2)).toEqual([['beer'], ['a', '1'], ['c', '3'], ['cider'], ['b', '2']]);
});

/** Pages on which the rows of a table stand, in their order, after a layout in which each row has an id. */
async function pagesOfRows(before: number, rows: number): Promise<{ pages: number[]; heads: string[] }> {
  const content = titled(
    [h2('Rows')],
    table(
      [{ head: 'No.', width: '*' }],
      Array.from({ length: rows }, (_, at) => [`row ${at}`]),
    ),
  );
  const definition = onPages(FRAME, [
    ...Array.from({ length: before }, (_, at): Content => ({ text: `line ${at}` })),
    content,
  ]);
  const nodes = textNodes(content).filter((node) => String(node.text).startsWith('row '));
  nodes.forEach((node, at) => (node.id ??= `test-${at}`));
  await makePdf(definition);
  const pages = nodes.map(({ positions }) => Number(positions?.[0].pageNumber));
  const head = definition.header as (page: number) => PageNode;
  return { pages, heads: [1, 2, 3].map((page) => textsOn(head(page)).at(-1) ?? '') };
}

test.each([3, 9, 10, 23])(
  'a table of %i rows never has fewer than five of them alone on a page',
  async (rows) => {
    for (const before of [44, 49, 52, 55]) {
      const { pages } = await pagesOfRows(before, rows);
      const counts = new Map<number, number>();
      pages.forEach((page) => counts.set(page, (counts.get(page) ?? 0) + 1));
      const fewest = Math.min(...counts.values());
      expect({ before, fewest: fewest >= Math.min(5, rows) }).toEqual({ before, fewest: true });
      expect(pages).toEqual([...pages].sort((a, b) => a - b));
    }
  },
  60_000,
);

test('a page on which a table goes on says so', async () => {
  const { pages, heads } = await pagesOfRows(40, 60);
  expect([pages[0], pages[59]]).toEqual([1, 2]);
  expect(heads).toEqual(['', 'continued', '']);
});

test('headings are bookmarks, parts below chapters; language and title are set', async () => {
  const definition = onPages({ ...FRAME, title: 'Name of it' }, [
    h1('Chapter'),
    titled([h2('Part')], table([{ head: 'A', width: '*' }], [['y']])),
    titled([h2('Empty')], table([{ head: 'A', width: '*' }], [])),
  ]);
  const bytes = (await makePdf(definition)).toString('latin1');
  expect(bytes).toContain('/Lang (en-GB)');
  expect(bytes).toContain('/DisplayDocTitle true');
  const [chapter, part, empty] = ['Chapter', 'Part', 'Empty'].map((name) => bytes.indexOf(`/Title (${name})`));
  expect([chapter > 0, part > 0, empty > 0]).toEqual([true, true, true]);
  // The bookmark of the chapter has children; there is one at the top.
  expect(/\/Title \(Chapter\)[^]*?endobj/.exec(bytes)?.[0] ?? '').toContain('/First');
  expect(bytes).toMatch(/\/Type \/Outlines|\/Outlines \d+ 0 R/);
});
