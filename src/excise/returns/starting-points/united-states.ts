import type { ReportFigureName } from '../../reporting/documents/report-figures.dto.js';
import type { FigureTerm, FormLine } from '../rules/mapping.js';
import type { ReturnMappingStart } from './starting-point.js';

const KEGS = ['keg', 'cask'];
const OTHER = ['bottle', 'can', 'bag-in-box', 'other'];
const PACKED = ['d', 'f'];
const ASK_FIRST = 'a blank line of the form: ask the authority before it is used';

interface More extends Pick<FormLine, 'columns' | 'note'> {
  readonly term?: Omit<FigureTerm, 'figures' | 'sign'>;
}

const entry =
  (sign: FigureTerm['sign']) =>
  (line: string, label: string, figures: readonly ReportFigureName[], { term, ...more }: More = {}): FormLine => ({
    line,
    label,
    ...more,
    figures: [{ figures, dutyStatus: 'suspended', ...term, ...(sign === undefined ? {} : { sign }) }],
  });
const added = entry(undefined);
const removed = entry('minus');

const ADDITIONS: readonly FormLine[] = [
  added('1', 'On hand at the start', ['stock-at-start', 'opening']),
  added(
    '2',
    'Produced by fermentation',
    ['production-in-process', 'fermentation', 'fermentation-volume-change', 'produced'],
    {
      columns: ['b', 'c', 'e'],
    },
  ),
  added(
    '3',
    'Water and other liquids added',
    ['liquid-added', 'solids-dissolved', 'mixing-volume-change', 'used-as-material'],
    {
      columns: ['b', 'c', 'e'],
    },
  ),
  added('4', 'Returned to the cellar from containers', ['unpacked-in'], { columns: ['b'] }),
  added('5', 'Received untaxed, same owner', ['premises-moves', 'received-suspended'], {
    columns: ['b', ...PACKED],
    term: { direction: 'in' },
  }),
  added('6', 'Received from the cellar', ['packed-in'], { columns: ['c', 'e'] }),
  added('7', 'Returned here after removal', ['returned']),
  added('9', 'Racked into kegs', ['packed-in'], { columns: ['d'] }),
  added('10', 'Bottled', ['packed-in'], { columns: ['f'] }),
  added('11', 'Overage found by a stock-take', ['stock-surplus']),
  added(
    '12',
    'Other additions',
    [
      'receipts',
      'imported',
      'received-duty-paid',
      're-measurement',
      'fill-difference',
      'category-moves',
      'earlier-period',
      'repacked-in',
      'moved-in',
    ],
    { term: { direction: 'in' }, note: ASK_FIRST },
  ),
];

const REMOVALS: readonly FormLine[] = [
  removed('14', 'Removed for consumption or sale', ['released'], { columns: ['b', ...PACKED] }),
  removed('15', 'Determined for the tavern here', ['own-use'], { columns: ['b', ...PACKED] }),
  removed('16', 'Removed for export', ['exported'], { columns: ['b', ...PACKED] }),
  {
    line: '19',
    label: 'Sent untaxed, same owner',
    columns: ['b', ...PACKED],
    figures: [
      { figures: ['premises-moves'], dutyStatus: 'suspended', direction: 'out', sign: 'minus' },
      { figures: ['dispatched-suspended'], dutyStatus: 'suspended', sign: 'minus' },
    ],
  },
  removed('22', 'Transferred for racking', ['packed-out'], { columns: ['b'], term: { containers: KEGS } }),
  removed('23', 'Transferred for bottling', ['packed-out'], { columns: ['b'], term: { containers: OTHER } }),
  removed('24', 'Returned to the cellar', ['unpacked-out'], { columns: PACKED }),
  removed('25', 'Racked', ['packed-out'], { columns: ['c'] }),
  removed('26', 'Bottled', ['packed-out'], { columns: ['e'] }),
  removed('27', 'Laboratory samples', ['samples'], { note: 'from memory' }),
  removed('28', 'Destroyed here', ['destroyed'], { note: 'from memory' }),
  removed(
    '30',
    'Losses, theft among them',
    ['process-loss', 'packaging-loss', 'accidental-loss', 'theft', 'transit-loss', 'evaporation', 'yeast-and-trub'],
    { note: 'from memory' },
  ),
  removed('31', 'Shortage found by a stock-take', ['stock-shortage']),
  removed(
    '32',
    'Other removals',
    ['re-measurement', 'fill-difference', 'category-moves', 'earlier-period', 'repacked-out', 'moved-out'],
    { term: { direction: 'out' }, note: `${ASK_FIRST}; here the beer above the nominal volume of containers` },
  ),
  added('33', 'On hand at the end', ['stock-at-end']),
];

/** Every line of a list, once: entries of one line differ by column. */
const total = (line: string, label: string, of: readonly FormLine[]): FormLine => ({
  line,
  label,
  lines: [...new Set(of.map((each) => each.line))].map((name) => ({ line: name })),
});

export const US_MONTHLY_REPORT: ReturnMappingStart = {
  key: 'us-brewers-report',
  title: "United States: lines of a brewer's report of operations",
  seen: 'Lines 1 to 26, 31, 33 and 34 as published; 27, 28, 30 and 32 and the columns (f) and (g) from memory or from hints. Left out, as nothing of the report fits: 8, 17, 18, 20, 21, 29, and the other parts of the form.',
  mapping: {
    name: "US brewer's report of operations",
    formTitle: "Brewer's report of operations, beer summary",
    sources: [
      {
        citation: 'TTB F 5130.9, part 1, as filed with OMB (201407-1513-005), with its instructions',
        url: 'https://omb.report/icr/201407-1513-005/doc/49288801',
        edition: '2014',
        note: 'Barrels to the nearest second decimal. How a half is rounded is not in the text at hand: half up is taken.',
      },
      { citation: '27 CFR 25.11: barrel of 31 gallons of 231 cubic inches', edition: '2015 annual edition' },
    ],
    unit: 'barrel-31-us-gallons',
    rounding: [{ unit: 'barrel-31-us-gallons', mode: 'half-up', places: 2 }],
    columns: [
      { code: 'b', label: 'Cellar', stages: ['cellar'] },
      { code: 'c', label: 'Racking', stages: ['racking'] },
      { code: 'd', label: 'Kegs', stages: ['keg'] },
      { code: 'e', label: 'Bottling', stages: ['bottling'] },
      { code: 'f', label: 'Bottles', stages: ['packed'] },
      { code: 'g', label: 'Total', sum: true },
    ],
    lines: [...ADDITIONS, total('13', 'Total to account for', ADDITIONS), ...REMOVALS, total('34', 'Total', REMOVALS)],
    ties: [
      { left: ['13'], right: ['34'], eachColumn: true },
      { left: ['4'], right: ['24'] },
      { left: ['6'], right: ['22', '23'] },
      { left: ['9'], right: ['25'] },
      { left: ['10'], right: ['26'] },
    ],
  },
};
