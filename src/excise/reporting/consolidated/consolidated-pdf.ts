import type { Content } from 'pdfmake/interfaces.js';
import type { Figures } from '../../../ledger/books/litres.dto.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import { productChart, weekChart } from '../render/charts.js';
import { decimalText, exact6, figureCells, isNothing, localTime, plain, to3, words } from '../render/figures-text.js';
import type { Cell } from '../render/page.js';
import {
  bolded,
  boxed,
  charts,
  factList,
  FIGURE_COLUMNS,
  h1,
  h2,
  onPages,
  quiet,
  SIMULATED,
  table,
  titled,
} from '../render/page.js';
import type { PdfDefinition } from '../render/pdf-maker.js';
import { tieTables } from '../period/work-sections.js';
import type { ConsolidatedReport } from './consolidated.dto.js';

export interface ConsolidatedPdfInput {
  readonly report: ConsolidatedReport;
  /** SHA-256 of the document's bytes, hexadecimal. */
  readonly hash: string;
  readonly at: Date;
}

const namesIn = ({ premises }: ConsolidatedReport): ((id: string) => string) => {
  const names = new Map(premises.map(({ id, name }) => [id, name]));
  return (id) => names.get(id) ?? id;
};

const row3 = (name: string, figures: Figures): string[] => [
  name,
  to3(figures.litres),
  to3(figures.expandedUncertainty.litres),
  to3(figures.litresOfPureAlcohol),
  to3(figures.expandedUncertainty.litresOfPureAlcohol),
];

const stateOf = ({ status, openPeriods }: ConsolidatedReport): string =>
  status === 'closed' ? 'every period is closed' : `${plain(openPeriods)} of the periods still open`;

function cover({ report, hash }: ConsolidatedPdfInput): Content[] {
  const { producer, premises, startsOn, endsBefore, opening, turnover, closing, trail, statement } = report;
  return [
    { text: 'Consolidated report', style: 'title' },
    { text: `${producer.name}, ${startsOn} to before ${endsBefore}`, style: 'subtitle' },
    ...(producer.simulated ? [boxed(SIMULATED)] : []),
    ...(report.status === 'provisional'
      ? [boxed('PROVISIONAL: a period is not closed; the figures may still change.')]
      : []),
    factList([
      ['Producer', producer.name],
      ['Premises', premises.map(({ name }) => name).join(', ')],
      ['Days', `${startsOn} up to, not including, ${endsBefore}, local time of each premises`],
      ['Periods', stateOf(report)],
    ]),
    { text: 'The balance', style: 'h2' },
    table(
      [
        { head: 'At 20 °C', width: '*' },
        { head: 'Litres', width: 84, right: true },
        { head: 'U (95 %)', width: 60, right: true },
        { head: 'Litres of pure alcohol', width: 110, right: true },
        { head: 'U (95 %)', width: 60, right: true },
      ],
      [row3('Opening', opening), row3('In', turnover.in), row3('Out', turnover.out), bolded(row3('Closing', closing))],
    ),
    quiet(
      'Rounded to three places here; the tables that follow are exact. What moved between own premises is netted out. U is the expanded uncertainty of what was measured, by origin over all premises.',
    ),
    ...statement.map((text): Content => ({ text, margin: [0, 2, 0, 2] })),
    { text: '', margin: [0, 3] },
    factList([
      ['Hash of the report', `SHA-256 ${hash}`],
      ['Head of the audit trail', `entry ${trail.sequence}, ${trail.hash}`],
    ]),
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

const periodsTable = ({ premises }: ConsolidatedReport): Content =>
  titled(
    [h1('Periods that are added up')],
    table(
      [
        { head: 'Premises', width: 90 },
        { head: 'From', width: 52 },
        { head: 'Before', width: 52 },
        { head: 'Closed (local)', width: 80 },
        { head: 'SHA-256 of the frozen report', width: '*' },
      ],
      premises.flatMap(({ name, timeZone = 'UTC', periods }): Cell[][] =>
        periods.length === 0
          ? [[name, '', '', 'no period', '']]
          : periods.map((each) => [
              name,
              each.startsOn,
              each.endsBefore,
              each.closedAt === undefined ? { bold: 'OPEN' } : localTime(each.closedAt, timeZone),
              each.reportHash ?? '',
            ]),
      ),
    ),
  );

function balanceTable(report: ConsolidatedReport): Content[] {
  const { opening, lines, closing, premises } = report;
  const nameOf = namesIn(report);
  // Where there is one of the premises only, its figures are those in all.
  const several = <Row>(rows: readonly Row[]): readonly Row[] => (premises.length > 1 ? rows : []);
  const filled = lines.filter((line) => !isNothing(line) || line.byPremises.some((each) => !isNothing(each)));
  return [
    titled(
      [
        h1('Balance by line and premises'),
        quiet('Effect on stock: what goes out is negative. Litres at 20 °C, exact; U at 95 %.'),
      ],
      table(
        [{ head: 'Line', width: '*' }, { head: 'Premises', width: 90 }, ...FIGURE_COLUMNS],
        [
          bolded(['Opening', 'all', ...figureCells(opening)]),
          ...several(premises).map((each) => ['opening', each.name, ...figureCells(each.opening)]),
          ...filled.flatMap((line): Cell[][] => [
            bolded([words(line.line), 'all', ...figureCells(line)]),
            ...several(line.byPremises).map((each) => [
              words(line.line),
              nameOf(each.premisesId),
              ...figureCells(each),
            ]),
          ]),
          bolded(['Closing', 'all', ...figureCells(closing)]),
          ...several(premises).map((each) => ['closing', each.name, ...figureCells(each.closing)]),
        ],
      ),
    ),
    quiet(
      `Opening and flows ${report.reconciliation.balances ? 'make the closing figures to the last decimal' : 'DO NOT MAKE THE CLOSING FIGURES'}; the books and the reports of the periods ${report.reports.balances ? 'are the same' : 'ARE NOT THE SAME'}.`,
    ),
  ];
}

const categoriesTable = ({ categories }: ConsolidatedReport): Content =>
  titled(
    [h1('By category')],
    table(
      [{ head: 'Category', width: 88 }, { head: 'Line', width: '*' }, ...FIGURE_COLUMNS],
      categories.flatMap((each): Cell[][] => [
        bolded([words(each.category), 'opening', ...figureCells(each.opening)]),
        ...each.lines.map((line) => [words(each.category), words(line.line), ...figureCells(line)]),
        bolded([words(each.category), 'closing', ...figureCells(each.closing)]),
      ]),
      { none: 'No category had anything.' },
    ),
  );

function betweenTable(report: ConsolidatedReport): Content[] {
  const nameOf = namesIn(report);
  const { consignments, tie, sameEdges } = report.betweenPremises;
  return [
    titled(
      [h1('Between own premises')],
      table(
        [
          { head: 'From', width: '*' },
          { head: 'To', width: 86 },
          { head: 'On the way before, L', width: 60, right: true },
          { head: 'Sent, L', width: 58, right: true },
          { head: 'Received, L', width: 58, right: true },
          { head: 'Lost, L', width: 50, right: true },
          { head: 'On the way after, L', width: 58, right: true },
        ],
        consignments.map((each): Cell[] => [
          nameOf(each.fromPremisesId),
          nameOf(each.toPremisesId),
          exact6(each.onTheWayAtStart.litres),
          exact6(each.sent.litres),
          exact6(each.received.litres),
          exact6(each.lost.litres),
          exact6(each.onTheWayAtEnd.litres),
        ]),
        { none: 'Nothing went from one to another.' },
      ),
    ),
    ...(consignments.length === 0 ? [] : tieTables([tie])),
    ...(sameEdges
      ? []
      : [
          quiet(
            'The periods of the premises do not begin and end at the same instants everywhere: goods that arrived between two edges stand in one side only.',
          ),
        ]),
  ];
}

function dutyTables(report: ConsolidatedReport): Content[] {
  const { duty, deficiency } = report;
  const nameOf = namesIn(report);
  const money = (parts: readonly { currency: string; amount: string }[]): string =>
    parts.map(({ currency, amount }) => `${decimalText(amount)} ${currency}`).join(', ');
  return [
    titled(
      [
        h1('For duty'),
        quiet('The sum of the periods: each is rounded by its own rules first, as each is a return of its own.'),
      ],
      table(
        [
          { head: 'Category and band', width: '*' },
          { head: 'Litres', width: 66, right: true },
          { head: 'L pure, for duty', width: 66, right: true },
          { head: 'Quantity', width: 66, right: true },
          { head: 'Unit', width: 40 },
          { head: 'Rate', width: 46, right: true },
          { head: 'Duty', width: 70, right: true },
        ],
        [
          ...duty.groups.map((each): Cell[] => [
            [words(each.category), each.band ?? ''].join(' ').trim(),
            exact6(each.litres),
            exact6(each.litresOfPureAlcoholForDuty),
            decimalText(each.quantity.result),
            each.quantity.unit,
            each.rate === undefined ? '' : decimalText(each.rate.amount),
            each.money === undefined ? '' : money([each.money]),
          ]),
          bolded([
            'Total',
            exact6(duty.litres),
            exact6(duty.litresOfPureAlcoholForDuty),
            '',
            '',
            '',
            money(duty.money),
          ]),
        ],
      ),
    ),
    quiet(
      `Chargeable deficiency of the periods together: ${exact6(deficiency.litres)} L, ${exact6(deficiency.litresOfPureAlcohol)} L of pure alcohol, ${exact6(deficiency.litresOfPureAlcoholForDuty)} L for duty${deficiency.money.length === 0 ? '' : `, ${money(deficiency.money)}`}. Stock-take differences without a reason: ${plain(deficiency.unexplained)}.`,
    ),
    titled(
      [h2('By period')],
      table(
        [
          { head: 'Premises', width: '*' },
          { head: 'Period from', width: 60 },
          { head: 'Litres', width: 70, right: true },
          { head: 'L pure, for duty', width: 74, right: true },
          { head: 'L pure, in books', width: 74, right: true },
          { head: 'Duty', width: 80, right: true },
        ],
        duty.periods.map((each): Cell[] => [
          nameOf(each.premisesId),
          each.startsOn,
          exact6(each.litres),
          exact6(each.litresOfPureAlcoholForDuty),
          exact6(each.litresOfPureAlcoholInBooks),
          `${money(each.money)}${each.complete || each.money.length === 0 ? '' : ' (not complete)'}`,
        ]),
      ),
    ),
  ];
}

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
      runningFoot: `${report.status === 'closed' ? 'Of closed reports' : 'Provisional'}, SHA-256 ${hash.slice(0, 16)}… · Local law and licensed practice decide.`,
      simulated: producer.simulated,
    },
    [
      ...cover(input),
      chartsOf(report),
      periodsTable(report),
      ...balanceTable(report),
      categoriesTable(report),
      ...betweenTable(report),
      ...dutyTables(report),
    ],
  );
}
