import type { Content } from 'pdfmake/interfaces.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { isNothing, words } from '../render/figures-text.js';
import { FIGURES_SHOWN, h1, h2, quiet } from '../render/page.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';
import {
  balancesShown,
  balanceTable,
  categoriesTable,
  lotsInProcessTable,
  reconciliationTable,
} from './balance-tables.js';
import { stockSumsTable, stockTable } from './stock-tables.js';
import { stagesTable } from './work-tables.js';

/** The column that tells the two balances apart, where both have anything. */
const statusOf = ({ balances }: PeriodReport): string[] => (balancesShown(balances).length < 2 ? [] : ['duty_status']);

/** The balance by line, then its alcohol by origin. */
export function balancePages(report: PeriodReport, context: PageContext): Content[] {
  const balance = balanceTable(report);
  const empty = report.lines.filter(isNothing).map(({ line }) => words(line));
  return [
    tablePage(
      balance,
      {
        heading: [
          h1('Balance by line'),
          quiet(
            'Effect on stock: what goes out is negative. Litres at 20 °C, each to the second digit of its U; U: k = 1.96, about 95 %.',
          ),
        ],
        groupBy: statusOf(report),
        shown: [['line', '*'], ...FIGURES_SHOWN, ['operations', 26]],
        none: 'Nothing was in stock, and nothing was posted.',
        note: empty.length === 0 ? undefined : `Nothing on: ${empty.join(', ')}.`,
      },
      context,
    ),
    tablePage(
      balance,
      {
        groupBy: statusOf(report),
        heading: [h1('Alcohol by origin'), quiet('Litres of pure alcohol; effect on stock.')],
        shown: [
          ['line', '*'],
          ['fermented', 90],
          ['added', 90],
          ['litres_of_pure_alcohol', 90, 'Together'],
        ],
      },
      context,
    ),
  ];
}

/** Categories and stages from opening to closing. */
export const flowPages = (report: PeriodReport, context: PageContext): Content[] => [
  tablePage(
    categoriesTable(report),
    {
      heading: [h1('By category')],
      groupBy: ['category', ...statusOf(report)],
      shown: [['line', '*'], ...FIGURES_SHOWN, ['operations', 26]],
      none: 'No category had anything.',
    },
    context,
  ),
  tablePage(
    stagesTable(report),
    {
      heading: [h1('By stage'), quiet('In and out are the net effects of events on the stage.')],
      groupBy: ['stage', ...statusOf(report)],
      shown: [['line', '*'], ...FIGURES_SHOWN, ['balances', 40]],
      none: 'No stage held anything.',
    },
    context,
  ),
];

export const stockPages = (report: PeriodReport, context: PageContext): Content[] => [
  tablePage(
    stockSumsTable(report),
    {
      heading: [h1('Stock at the end')],
      groupBy: ['by', ...statusOf(report)],
      shown: [['name', '*'], ...FIGURES_SHOWN],
    },
    context,
  ),
  tablePage(
    stockTable(report),
    {
      heading: [h2('Each stock')],
      groupBy: ['category', ...statusOf(report)],
      shown: [
        ['description', '*'],
        ['containers', 64],
        ['book_strength_percent', 34],
        ['litres', 66],
        ['litres_of_pure_alcohol', 64],
        ['expanded_uncertainty_litres_of_pure_alcohol', 44],
        ['operations', 26],
      ],
      none: 'Nothing was in stock.',
      note: 'A stock without a reference did not move in this period: its operations are in the reports before.',
    },
    context,
  ),
];

export const lotsInProcessPage = (report: PeriodReport, context: PageContext): Content =>
  tablePage(
    lotsInProcessTable(report),
    {
      heading: [h1('Lots in process at the end')],
      shown: [
        ['lot', '*'],
        ['standing', 56],
        ['strength_percent', 44, '% vol so far'],
        ['expanded_uncertainty_percent', 44],
        ['sampled_at', 82],
        ['litres', 66],
        ['litres_of_pure_alcohol', 66],
        ['expanded_uncertainty_litres_of_pure_alcohol', 44],
      ],
      none: 'No lot was in process.',
    },
    context,
  );

export const reconciliationPages = (report: PeriodReport, context: PageContext): Content[] => [
  tablePage(
    reconciliationTable(report),
    {
      heading: [h1('Reconciliation of the closing figures')],
      groupBy: statusOf(report),
      shown: [
        ['figure', 64],
        ['source', '*'],
        ['litres', 84],
        ['fermented', 96],
        ['added', 90],
      ],
      none: 'Opening, flows and closing are nothing.',
      note: report.reconciliation.balances ? 'It balances to the last decimal.' : 'IT DOES NOT BALANCE.',
    },
    context,
  ),
];
