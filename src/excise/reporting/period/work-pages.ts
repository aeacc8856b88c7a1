import type { Content } from 'pdfmake/interfaces.js';
import type { PeriodReport } from '../documents/report.dto.js';
import type { ReportTie } from '../documents/report-ties.dto.js';
import { plain } from '../render/figures-text.js';
import { h1, h2, quiet } from '../render/page.js';
import type { PageContext, ShownColumn } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';
import { stockTable } from './stock-tables.js';
import { correctionsPage } from './correction-tables.js';
import { JUDGED } from './judgement-cells.js';
import { differencesTable, lateTable, lossesTable, lotsProducedTable, tiesTable } from './work-tables.js';

/** Each tie with both sides and the difference. */
export const tiesPage = (ties: readonly ReportTie[], context: PageContext): Content =>
  tablePage(
    tiesTable(ties),
    {
      heading: [
        h1('Ties: inputs against outputs'),
        quiet(
          'By the kind of work, each with its reversals. A line of the report stands with what it received; the difference must be zero.',
        ),
      ],
      groupBy: ['tie'],
      shown: [
        ['side', 48],
        ['place', '*'],
        ['litres', 72],
        ['litres_of_pure_alcohol', 72],
        ['expanded_uncertainty_litres_of_pure_alcohol', 42],
        ['balances', 40],
      ],
      none: 'Nothing passed from one stock account to another.',
    },
    context,
  );

export const lotsProducedPage = (report: PeriodReport, context: PageContext): Content =>
  tablePage(
    lotsProducedTable(report),
    {
      heading: [h1('Lots produced')],
      shown: [
        ['lot', '*'],
        ['method', 74],
        ['strength_percent', 36],
        ['expanded_uncertainty_percent', 36],
        ['sampled_at', 78],
        ['litres', 62],
        ['litres_of_pure_alcohol', 62],
        ['operations', 26],
      ],
      none: 'No lot was declared finished.',
    },
    context,
  );

const LOSS: readonly ShownColumn[] = [
  ['day', 50],
  ['goods', '*'],
  ['reason', 66],
  ['category', 66],
  ['litres', 58],
  ['judged_uncertainty', 42],
  ['probability', 30],
  ['litres_of_pure_alcohol', 54],
  ['operations', 28],
];

/** Sentence on the judgement of rows, where there are any. */
const judged = (rows: readonly unknown[]): Content[] => (rows.length === 0 ? [] : [quiet(JUDGED)]);

const countedText = ({ stock }: PeriodReport): string =>
  stock.items.some(({ lastCountedAt }) => lastCountedAt !== undefined)
    ? 'Empty: never counted.'
    : 'None of these was ever counted.';

/** Losses, differences and corrections, when products were last counted, and what was entered late. */
export function lossPages(report: PeriodReport, context: PageContext): Content[] {
  const { afterDays, entries } = report.lateEntries;
  const days = afterDays === 1 ? 'a day' : `${plain(afterDays)} days`;
  return [
    tablePage(
      lossesTable(report),
      {
        heading: [h1('Losses, each with its day and reason'), ...judged(report.losses)],
        groupBy: ['line'],
        shown: LOSS,
        none: 'No loss was entered.',
      },
      context,
    ),
    tablePage(
      differencesTable(report),
      {
        heading: [h1('Differences of stock-takes'), ...judged(report.stockDifferences)],
        shown: [
          ['occurred_at', 78],
          ['description', '*'],
          ['explained', 40],
          ['reason', 56],
          ['litres', 54],
          ['judged_uncertainty', 42],
          ['probability', 30],
          ['litres_of_pure_alcohol', 54],
          ['operations', 26],
        ],
        none:
          report.productsCounted > 0
            ? `${report.productsCounted === 1 ? 'One product was' : `${plain(report.productsCounted)} products were`} counted; none differed from the books.`
            : 'No stock-take was made in the period.',
      },
      context,
    ),
    tablePage(
      stockTable(report),
      {
        heading: [h2('Last physical count of each product'), quiet(countedText(report))],
        groupBy: ['category'],
        shown: [
          ['description', '*'],
          ['last_counted_at', 130],
        ],
        none: 'Nothing was in stock.',
      },
      context,
    ),
    correctionsPage(report, context),
    tablePage(
      lateTable(report),
      {
        heading: [h1('Late entries'), quiet(`Entered more than ${days} after the event: ${plain(entries.length)}.`)],
        shown: [
          ['name', 70],
          ['goods', '*'],
          ['count', 30],
          ['recipient', 80],
          ['occurred_at', 70],
          ['recorded_at', 70],
          ['days_late', 28],
          ['operations', 26],
        ],
        none: 'Nothing was entered late.',
      },
      context,
    ),
  ];
}
