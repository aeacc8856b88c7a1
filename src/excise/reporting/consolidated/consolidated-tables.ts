import type { CsvCell, NamedTable } from '../render/csv-table.js';
import { decimalCell, FIGURES, figures, litres, number } from '../render/csv-table.js';
import { tiesTable } from '../period/work-tables.js';
import type { TieAmount } from '../documents/report-ties.dto.js';
import type { ConsolidatedReport } from './consolidated.dto.js';

const AMOUNT = ['litres', 'litres_of_pure_alcohol', 'fermented', 'added'];
const amount = (part: TieAmount): CsvCell[] => [
  litres(part.litres),
  litres(part.litresOfPureAlcohol),
  litres(part.fermented),
  litres(part.added),
];

const facts = ({
  status,
  producer,
  startsOn,
  endsBefore,
  trail,
  versions,
  statement,
}: ConsolidatedReport): NamedTable => ({
  name: 'report',
  columns: ['fact', 'value'],
  rows: [
    ['status', status],
    ['producer', producer.name],
    ['simulated', String(producer.simulated)],
    ['startsOn', startsOn],
    ['endsBefore', endsBefore],
    ['trailSequence', number(trail.sequence)],
    ['trailHash', trail.hash],
    ['program', versions.program],
    ...statement.map((words) => ['statement', words]),
  ],
});

const periods = ({ premises }: ConsolidatedReport): NamedTable => ({
  name: 'periods',
  columns: ['premises', 'time_zone', 'starts_on', 'ends_before', 'state', 'closed_at', 'report_hash', 'report'],
  rows: premises.flatMap(({ name, timeZone, periods: own }) =>
    own.map((each) => [
      name,
      timeZone ?? '',
      each.startsOn,
      each.endsBefore,
      each.state,
      each.closedAt ?? '',
      each.reportHash ?? '',
      each.report,
    ]),
  ),
});

/** Each line by premises and in all. */
export function balanceTable({ opening, lines, closing, premises }: ConsolidatedReport): NamedTable {
  const nameOf = (id: string): string => premises.find((each) => each.id === id)?.name ?? id;
  return {
    name: 'balance',
    columns: ['line', 'premises', ...FIGURES],
    rows: [
      ['opening', '', ...figures(opening)],
      ...premises.map((each) => ['opening', each.name, ...figures(each.opening)]),
      ...lines.flatMap((line) => [
        [line.line, '', ...figures(line)],
        ...line.byPremises.map((each) => [line.line, nameOf(each.premisesId), ...figures(each)]),
      ]),
      ['closing', '', ...figures(closing)],
      ...premises.map((each) => ['closing', each.name, ...figures(each.closing)]),
    ],
  };
}

const categories = (report: ConsolidatedReport): NamedTable => ({
  name: 'categories',
  columns: ['category', 'line', ...FIGURES],
  rows: report.categories.flatMap((each) => [
    [each.category, 'opening', ...figures(each.opening)],
    ...each.lines.map((line) => [each.category, line.line, ...figures(line)]),
    [each.category, 'closing', ...figures(each.closing)],
  ]),
});

function between({ betweenPremises, premises }: ConsolidatedReport): NamedTable {
  const nameOf = (id: string): string => premises.find((each) => each.id === id)?.name ?? id;
  return {
    name: 'between-premises',
    columns: ['from', 'to', 'what', ...AMOUNT],
    rows: betweenPremises.consignments.flatMap((each) =>
      (['onTheWayAtStart', 'sent', 'restated', 'received', 'lost', 'onTheWayAtEnd'] as const).map((leg) => [
        nameOf(each.fromPremisesId),
        nameOf(each.toPremisesId),
        leg,
        ...amount(each[leg]),
      ]),
    ),
  };
}

const reportsTie = ({ reports }: ConsolidatedReport): NamedTable => ({
  name: 'books-and-reports',
  columns: ['line', 'of', ...AMOUNT],
  rows: reports.figures.flatMap((each) => [
    [each.line, 'reports', ...amount(each.reports)],
    [each.line, 'books', ...amount(each.books)],
    [each.line, 'difference', ...amount(each.difference)],
  ]),
});

const duty = ({ duty: part }: ConsolidatedReport): NamedTable => ({
  name: 'duty',
  columns: [
    'of',
    'rule_set',
    'litres',
    'litres_of_pure_alcohol_for_duty',
    'litres_of_pure_alcohol_in_books',
    'quantity',
    'unit',
    'rate',
    'money',
    'currency',
  ],
  rows: [
    ...part.groups.map((each) => [
      [each.category, each.band ?? ''].join(' ').trim(),
      `${each.ruleSet.id} ${each.ruleSet.version}`,
      litres(each.litres),
      litres(each.litresOfPureAlcoholForDuty),
      litres(each.litresOfPureAlcoholInBooks),
      decimalCell(each.quantity.result),
      each.quantity.unit,
      each.rate === undefined ? '' : decimalCell(each.rate.amount),
      each.money === undefined ? '' : decimalCell(each.money.amount),
      each.money?.currency ?? '',
    ]),
    [
      'total',
      '',
      litres(part.litres),
      litres(part.litresOfPureAlcoholForDuty),
      litres(part.litresOfPureAlcoholInBooks),
      '',
      '',
      '',
      '',
      '',
    ],
    ...part.money.map(({ amount: sum, currency }) => [
      part.complete ? 'indicated duty' : 'indicated duty, not complete',
      '',
      '',
      '',
      '',
      '',
      '',
      '',
      decimalCell(sum),
      currency,
    ]),
  ],
});

const deficiency = ({ deficiency: part }: ConsolidatedReport): NamedTable => ({
  name: 'deficiency',
  columns: [
    'line',
    'category',
    'lost',
    'allowance',
    'litres',
    'litres_of_pure_alcohol',
    'litres_of_pure_alcohol_for_duty',
  ],
  rows: [
    ...part.lines.map((each) => [
      each.line,
      each.category,
      litres(each.lost),
      litres(each.allowance),
      litres(each.litres),
      litres(each.litresOfPureAlcohol),
      litres(each.litresOfPureAlcoholForDuty),
    ]),
    [
      'total',
      '',
      '',
      '',
      litres(part.litres),
      litres(part.litresOfPureAlcohol),
      litres(part.litresOfPureAlcoholForDuty),
    ],
  ],
});

/** The consolidated report as tables, one subject each. */
export const consolidatedTables = (report: ConsolidatedReport): NamedTable[] => [
  facts(report),
  periods(report),
  balanceTable(report),
  categories(report),
  {
    name: 'stages',
    columns: ['stage', ...FIGURES],
    rows: report.stages.map((each) => [each.stage, ...figures(each)]),
  },
  {
    name: 'weeks',
    columns: ['week', 'direction', ...FIGURES],
    rows: report.turnover.weeks.flatMap((week) => [
      [week.startsOn, 'in', ...figures(week.in)],
      [week.startsOn, 'out', ...figures(week.out)],
    ]),
  },
  between(report),
  tiesTable([report.betweenPremises.tie]),
  reportsTie(report),
  duty(report),
  deficiency(report),
];
