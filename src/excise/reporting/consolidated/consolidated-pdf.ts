import type { Content } from 'pdfmake/interfaces.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import { balanceBox } from '../render/balance-box.js';
import { productChart, weekChart } from '../render/charts.js';
import { premisesFacts, producerFacts, signatureBlock } from '../render/first-page.js';
import { plain, words } from '../render/figures-text.js';
import { boxed, charts, factList, FIGURES_SHOWN, h1, h2, onPages, quiet, SIMULATED } from '../render/page.js';
import { balanceSums, SUMS_NOTE } from '../period/balance-sums.js';
import type { PdfDefinition } from '../render/pdf-maker.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';
import { moneyBox } from '../period/money-tables.js';
import { tiesPage } from '../period/work-pages.js';
import {
  balanceTable,
  betweenTable,
  dutyBalancesTable,
  categoriesTable,
  correctionsTable,
  deficienciesTable,
  dutyPeriodsTable,
  dutyTable,
  periodsTable,
} from './consolidated-tables.js';
import type { ConsolidatedReport } from './consolidated.dto.js';

export interface ConsolidatedPdfInput {
  readonly report: ConsolidatedReport;
  /** SHA-256 of the document's bytes, hexadecimal. */
  readonly hash: string;
  readonly at: Date;
}

const stateOf = ({ status, openPeriods }: ConsolidatedReport): string =>
  status === 'closed' ? 'every period is closed' : `${plain(openPeriods)} of the periods still open`;

function cover({ report, hash }: ConsolidatedPdfInput): Content[] {
  const { producer, premises, startsOn, endsBefore, trail, statement } = report;
  return [
    { text: 'Consolidated report', style: 'title' },
    { text: `${producer.name}, ${startsOn} to before ${endsBefore}`, style: 'subtitle' },
    ...(producer.simulated ? [boxed(SIMULATED)] : []),
    ...(report.status === 'provisional'
      ? [boxed('PROVISIONAL: a period is not closed; the figures may still change.')]
      : []),
    factList([
      ...producerFacts(producer),
      ...premises.flatMap(premisesFacts),
      ['Days', `${startsOn} up to, not including, ${endsBefore}, local time of each premises`],
      ['Periods', stateOf(report)],
      ['Kept until', `${report.keepUntil} at the least, by the producer’s setting; local law decides`],
    ]),
    balanceBox(
      balanceSums(report),
      `${SUMS_NOTE} What moved between own premises nets out; uncertainties add up by origin over all premises.`,
    ),
    ...moneyBox(report),
    ...statement.map((text): Content => ({ text, margin: [0, 2, 0, 2] })),
    { text: '', margin: [0, 3] },
    factList([
      ['SHA-256 of the JSON report', hash],
      ['Head of the audit trail', `entry ${trail.sequence}, ${trail.hash}`],
      ['How to check both', 'docs/verify-the-trail.md, which comes with the program'],
    ]),
    signatureBlock(),
  ];
}

function chartsOf({ turnover, categories }: ConsolidatedReport): Content {
  const bars = categories
    .map(({ category, closing }) => ({
      product: words(category),
      litres: Math.round(litresOf(closing.litresOfPureAlcohol).toNumber() * 1000) / 1000,
    }))
    .filter(({ litres }) => litres !== 0)
    .sort((a, b) => b.litres - a.litres);
  const weeks = turnover.weeks.map(({ startsOn, in: into, out }) => ({
    week: startsOn.slice(5),
    inL: litresOf(into.litresOfPureAlcohol).toNumber(),
    outL: litresOf(out.litresOfPureAlcohol).negated().toNumber(),
  }));
  return charts([
    { title: 'Alcohol in and out by week (day on which the week begins)', svg: weekChart(weeks) },
    ...(bars.length === 0 ? [] : [{ title: 'Closing stock by category', svg: productChart(bars) }]),
  ]);
}

function balancePages(report: ConsolidatedReport, context: PageContext): Content[] {
  const { reconciliation, reports } = report;
  return [
    tablePage(
      periodsTable(report),
      {
        heading: [h1('Periods that are added up')],
        groupBy: ['premises'],
        shown: [
          ['starts_on', 50],
          ['ends_before', 50],
          ['state', 36],
          ['closed_at', 64],
          ['report_hash', '*'],
        ],
      },
      context,
    ),
    tablePage(
      balanceTable(report),
      {
        heading: [
          h1('Balance by line and premises'),
          quiet(
            'Effect on stock: what goes out is negative. Litres at 20 °C, each to the second digit of its U; U: k = 1.96, about 95 %.',
          ),
        ],
        groupBy: report.premises.length < 2 ? [] : ['line'],
        shown: [report.premises.length < 2 ? ['line', '*'] : ['place', '*'], ...FIGURES_SHOWN],
      },
      context,
    ),
    tablePage(
      dutyBalancesTable(report),
      {
        heading: [h1('The balance by line')],
        groupBy: ['duty_status'],
        shown: [['line', '*'], ...FIGURES_SHOWN],
      },
      context,
    ),
    quiet(
      `Opening and flows ${reconciliation.balances ? 'make the closing figures to the last decimal' : 'DO NOT MAKE THE CLOSING FIGURES'}; the books and the reports of the periods ${reports.balances ? 'are the same' : 'ARE NOT THE SAME'}.`,
    ),
    tablePage(
      categoriesTable(report),
      {
        heading: [h1('By category')],
        groupBy: ['category', 'duty_status'],
        shown: [['line', '*'], ...FIGURES_SHOWN],
        none: 'No category had anything.',
      },
      context,
    ),
  ];
}

function betweenPages(report: ConsolidatedReport, context: PageContext): Content[] {
  const { consignments, tie, sameBoundaries } = report.betweenPremises;
  return [
    tablePage(
      betweenTable(report),
      {
        heading: [h1('Between own premises')],
        shown: [
          ['from', '*'],
          ['to', 100],
          ['leg', 100],
          ['litres', 80],
          ['litres_of_pure_alcohol', 80],
        ],
        none: 'Nothing went from one to another.',
      },
      context,
    ),
    ...(consignments.length === 0 ? [] : [tiesPage([tie], context)]),
    ...(sameBoundaries
      ? []
      : [
          quiet(
            'The periods of the premises do not begin and end at the same instants: goods that arrived between two such instants are on one side only.',
          ),
        ]),
  ];
}

/** Corrected duty of closed periods and duty on goods returned; nothing where there is neither. */
const correctionPages = (report: ConsolidatedReport, context: PageContext): Content[] =>
  report.duty.earlierPeriods.length + report.duty.returned.length === 0
    ? []
    : [
        tablePage(
          correctionsTable(report),
          {
            heading: [h2('Earlier periods and goods returned')],
            groupBy: ['part'],
            shown: [
              ['premises', '*'],
              ['starts_on', 70],
              ['litres_of_pure_alcohol_for_duty', 90],
              ['money', 80],
              ['currency', 30, ''],
            ],
          },
          context,
        ),
      ];

const dutyPages = (report: ConsolidatedReport, context: PageContext): Content[] => [
  tablePage(
    dutyTable(report),
    {
      heading: [
        h1('For duty'),
        quiet('The sum of the periods. Each period is a return of its own, so each is rounded by its own rules first.'),
      ],
      shown: [
        ['duty_category', '*'],
        ['band', 50],
        ['litres', 62],
        ['litres_of_pure_alcohol_for_duty', 62],
        ['quantity', 60],
        ['unit', 36],
        ['rate', 40],
        ['money', 54],
        ['currency', 28, ''],
      ],
    },
    context,
  ),
  tablePage(
    dutyPeriodsTable(report),
    {
      heading: [h2('By period')],
      shown: [
        ['premises', '*'],
        ['starts_on', 60],
        ['litres', 70],
        ['litres_of_pure_alcohol_for_duty', 74],
        ['litres_of_pure_alcohol_in_books', 74],
        ['money', 80],
      ],
    },
    context,
  ),
  ...correctionPages(report, context),
  tablePage(
    deficienciesTable(report),
    {
      heading: [h2('Chargeable deficiency of the periods together')],
      shown: [
        ['line', 66],
        ['category', '*'],
        ['lost', 52],
        ['allowance', 52],
        ['litres', 54],
        ['litres_of_pure_alcohol', 54],
        ['litres_of_pure_alcohol_for_duty', 54],
        ['money', 34],
        ['currency', 24, ''],
      ],
    },
    context,
  ),
  quiet(`Stock-take differences without a reason: ${plain(report.deficiency.unexplainedDifferences)}.`),
];

/** There are premises of several zones, and no operations to refer to. */
const CONTEXT: PageContext = { timeZone: 'UTC', numberOf: () => '', referenceOf: (id) => id };

/** Address of this module, for the printing thread. */
export const CONSOLIDATED_PAGES = import.meta.url;

/** Pages of a consolidated report, made of the document alone. */
export function definition(input: ConsolidatedPdfInput): PdfDefinition {
  const { report, hash, at } = input;
  const { producer, startsOn, endsBefore } = report;
  return onPages(
    {
      title: `Consolidated report, ${startsOn} to before ${endsBefore}`,
      createdAt: at,
      runningHead: `${producer.name} · all premises · ${startsOn} to before ${endsBefore}`,
      runningFoot: `${report.status === 'closed' ? 'Of closed reports' : 'Provisional'}, SHA-256 of its JSON ${hash.slice(0, 12)}… · U: k = 1.96 unless stated · Local law and licensed practice decide.`,
      simulated: producer.simulated,
    },
    [
      ...cover(input),
      chartsOf(report),
      ...balancePages(report, CONTEXT),
      ...betweenPages(report, CONTEXT),
      ...dutyPages(report, CONTEXT),
    ],
  );
}
