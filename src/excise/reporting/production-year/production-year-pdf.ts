import type { Content } from 'pdfmake/interfaces.js';
import { dayBefore } from '../../../production/shared/local-day.js';
import { producerFacts } from '../render/first-page.js';
import { fixed } from '../render/figures-text.js';
import { boxed, factList, h2, onPages, quiet, SIMULATED } from '../render/page.js';
import type { PdfDefinition } from '../render/pdf-maker.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';
import { categoriesTable, monthsTable, othersTable, thresholdsTable, totalsTable } from './production-year-tables.js';
import type { ProductionYear } from './production-year.dto.js';

export interface ProductionYearPdfInput {
  readonly report: ProductionYear;
  /** SHA-256 of the document's bytes, hexadecimal. */
  readonly hash: string;
  readonly at: Date;
}

const BASES: Readonly<Record<ProductionYear['basis'], string>> = {
  produced: 'alcohol fermented, in the month in which its lot was finished, with later re-measurements',
  packaged: 'alcohol filled into containers, in the month of the run',
};

/** No operations are referred to, and months have no time of day. */
const CONTEXT: PageContext = { timeZone: 'UTC', numberOf: () => '', referenceOf: (id) => id };

const parts = [
  ['own', 74],
  ['licensed', 84],
  ['both', 74],
  ['own_volume', 70],
  ['licensed_volume', 74],
] as const;

function tables(report: ProductionYear): Content[] {
  const { categories, licensedFor, group, thresholds, estimate } = report;
  return [
    tablePage(monthsTable(report), { heading: [h2('By month')], shown: [['month', '*'], ...parts] }, CONTEXT),
    ...(categories.length < 2
      ? []
      : [
          tablePage(
            categoriesTable(report),
            { heading: [h2('By category')], shown: [['category', '*'], ...parts] },
            CONTEXT,
          ),
        ]),
    tablePage(
      totalsTable(report),
      {
        heading: [h2('With the group'), ...(estimate === undefined ? [] : [quiet(`Estimate: ${estimate.method}`)])],
        shown: [
          ['of', '*'],
          ['part', 120],
          ['pure_alcohol', 90],
          ['volume', 90],
        ],
      },
      CONTEXT,
    ),
    ...(licensedFor.length + group.length === 0
      ? []
      : [
          tablePage(
            othersTable(report),
            {
              heading: [h2('Other owners, and other members of the group as stated by the producer')],
              shown: [
                ['name', 140],
                ['part', 60],
                ['document', '*'],
                ['pure_alcohol', 70],
                ['volume', 70],
              ],
            },
            CONTEXT,
          ),
        ]),
    ...(thresholds.length === 0
      ? []
      : [
          tablePage(
            thresholdsTable(report),
            {
              heading: [h2('Thresholds of the producer')],
              shown: [
                ['threshold', '*'],
                ['measure', 66],
                ['limit', 60],
                ['counted', 70],
                ['share', 46],
                ['estimated', 70],
                ['state', 40],
              ],
            },
            CONTEXT,
          ),
        ]),
  ];
}

/** Address of this module, for the printing thread. */
export const PRODUCTION_YEAR_PAGES = import.meta.url;

/** Pages of the production of a year, made of the document alone. */
export function definition({ report, hash, at }: ProductionYearPdfInput): PdfDefinition {
  const { producer, year, startsOn, endsBefore, basis, counted, total, trail, statement } = report;
  const days = `${startsOn} to ${dayBefore(endsBefore)}`;
  return onPages(
    {
      title: `Production of ${year}`,
      createdAt: at,
      runningHead: `${producer.name} · production of ${year}`,
      runningFoot: `SHA-256 ${hash.slice(0, 16)}… · Local law and licensed practice decide.`,
      simulated: producer.simulated,
    },
    [
      { text: `Production of ${year}`, style: 'title' },
      { text: `${producer.name}, ${days}`, style: 'subtitle' },
      ...(producer.simulated ? [boxed(SIMULATED)] : []),
      factList([
        ...producerFacts(producer),
        ['Days', `${days}, local time of each premises`],
        ['What counts', `${BASES[basis]}${counted === undefined ? '' : `; of ${counted.join(', ')} only`}`],
        [
          'Uncertainty',
          `U (95 %) of own and for others together: ${fixed(total.expandedUncertainty.pureAlcohol.value, 4)} hL of pure alcohol`,
        ],
        ['Document', `SHA-256 ${hash}`],
        ['Head of the audit trail', `entry ${trail.sequence}, ${trail.hash}`],
      ]),
      ...tables(report),
      ...statement.map((each): Content => ({ text: each, style: 'quiet', margin: [0, 3, 0, 0] })),
    ],
  );
}
