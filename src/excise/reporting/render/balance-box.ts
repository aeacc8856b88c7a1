import type { Content } from 'pdfmake/interfaces.js';
import type { Figures } from '../../../ledger/books/litres.dto.js';
import { h2 } from './page.js';
import { FIGURES, figureCells, tableOf, text } from './report-table.js';
import { tablePage } from './table-page.js';

/** The factor and level of every expanded uncertainty of the program's documents. */
const LEGEND_OF_U = 'U: expanded uncertainty of what was measured, k = 1.96, about 95 %.';

/** Figures of the first page, one a row; those that are emphasised in bold. */
export const balanceBox = (
  rows: readonly { readonly name: string; readonly figures: Figures; readonly emphasised?: boolean }[],
  note: string,
): Content =>
  tablePage(
    tableOf(
      'balance',
      { name: text('At 20 °C'), ...FIGURES },
      rows.map(({ name, figures, emphasised }) => ({ name, ...figureCells(figures), emphasised })),
    ),
    {
      heading: [h2('The balance')],
      shown: [
        ['name', '*'],
        ['litres', 84],
        ['expanded_uncertainty_litres', 60, 'U'],
        ['litres_of_pure_alcohol', 110, 'Litres of pure alcohol'],
        ['expanded_uncertainty_litres_of_pure_alcohol', 60, 'U'],
      ],
      none: 'Nothing was in stock, and nothing came in or went out.',
      note: `Each figure to the second digit of its U; the CSV and the JSON have every digit. ${note} ${LEGEND_OF_U}`,
    },
    { timeZone: 'UTC', numberOf: () => '', referenceOf: () => '' },
  );
