import type { Figures } from '../../ledger/books/litres.dto.js';
import type { ListedEntry, PeriodReport, RoadMeasures } from '../report/report.dto.js';
import type { CsvCell, NamedTable } from './csv-table.js';
import { litres, number } from './csv-table.js';

const FIGURES = [
  'litres',
  'litres_of_pure_alcohol',
  'fermented',
  'added',
  'expanded_uncertainty_litres',
  'expanded_uncertainty_litres_of_pure_alcohol',
];
const figures = (figure: Figures): CsvCell[] => [
  litres(figure.litres),
  litres(figure.litresOfPureAlcohol),
  litres(figure.fermented),
  litres(figure.added),
  litres(figure.expandedUncertainty.litres),
  litres(figure.expandedUncertainty.litresOfPureAlcohol),
];

const facts = ({ status, producer, premises, period, trail, versions, statement }: PeriodReport): NamedTable => ({
  name: 'report',
  columns: ['fact', 'value'],
  rows: [
    ['status', status],
    ['producer', producer.name],
    ['simulated', String(producer.simulated)],
    ['premises', premises.name],
    ...Object.entries(period),
    ['trailSequence', number(trail.sequence)],
    ['trailHash', trail.hash],
    ['program', versions.program],
    ...versions.methods.map(({ id, version }) => ['method', `${id} ${version}`]),
    ['ruleSet', `${versions.ruleSet.id} ${versions.ruleSet.version}`],
    ...statement.map((words) => ['statement', words]),
  ],
});

const road = (name: string, { litres: l, fermented, added }: RoadMeasures): CsvCell[] => [
  name,
  litres(l),
  litres(fermented),
  litres(added),
];

const listed = (name: string, entries: readonly ListedEntry[]): NamedTable => ({
  name,
  columns: ['line', 'day', 'occurred_at', 'kind', 'category', 'reason', 'operations', ...FIGURES],
  rows: entries.map((each) => [
    each.line,
    each.day,
    each.occurredAt,
    each.operationKind,
    each.category,
    each.reasonCode ?? '',
    each.operations,
    ...figures(each),
  ]),
});

/** The report as tables, one subject each. */
export function reportTables(report: PeriodReport): NamedTable[] {
  const { opening, turnover, lines, closing, categories, roads, stock, lotsInProcess, duty } = report;
  return [
    facts(report),
    {
      name: 'balance',
      columns: ['line', 'operations', ...FIGURES],
      rows: [
        ['opening', '', ...figures(opening)],
        ...lines.map((each) => [each.line, each.operations, ...figures(each)]),
        ['closing', '', ...figures(closing)],
      ],
    },
    {
      name: 'weeks',
      columns: ['week', 'direction', ...FIGURES],
      rows: turnover.weeks.flatMap((week) => [
        [week.startsOn, 'in', ...figures(week.in)],
        [week.startsOn, 'out', ...figures(week.out)],
      ]),
    },
    {
      name: 'categories',
      columns: ['category', 'line', 'operations', ...FIGURES],
      rows: categories.flatMap((each) => [
        [each.category, 'opening', '', ...figures(each.opening)],
        ...each.lines.map((line) => [each.category, line.line, line.operations, ...figures(line)]),
        [each.category, 'closing', '', ...figures(each.closing)],
      ]),
    },
    {
      name: 'roads',
      columns: ['road', 'litres', 'fermented', 'added'],
      rows: (['opening', 'flows', 'closing', 'difference'] as const).map((name) => road(name, roads[name])),
    },
    {
      name: 'stock',
      columns: [
        'kind',
        'category',
        'what',
        'stage',
        'duty_status',
        'count',
        'book_strength_percent',
        'operations',
        ...FIGURES,
      ],
      rows: stock.items.map((each) => [
        each.kind,
        each.category,
        each.what,
        each.stage ?? '',
        each.dutyStatus,
        number(each.count),
        number(each.bookStrength?.value),
        each.operations,
        ...figures(each),
      ]),
    },
    {
      name: 'stock-sums',
      columns: ['by', 'name', ...FIGURES],
      rows: [
        ...stock.byStage.map((each) => ['stage', each.stage, ...figures(each)]),
        ...stock.byStanding.map((each) => ['standing', each.standing, ...figures(each)]),
      ],
    },
    {
      name: 'lots-in-process',
      columns: [
        'lot',
        'standing',
        'method',
        'strength_percent',
        'expanded_uncertainty_percent',
        'sampled_at',
        ...FIGURES,
      ],
      rows: lotsInProcess.map((each) => [
        each.lotCode,
        each.standing,
        each.finding?.methodId ?? '',
        number(each.finding?.strength.value),
        number(each.finding?.expandedUncertainty.value),
        each.finding?.sampledAt ?? '',
        ...figures(each),
      ]),
    },
    {
      name: 'releases',
      columns: [
        'kind',
        'duty_date',
        'occurred_at',
        'lot_mark',
        'category',
        'count',
        'litres',
        'strength_for_duty_percent',
        'litres_of_pure_alcohol_for_duty',
        'litres_of_pure_alcohol_in_books',
        'operations',
      ],
      rows: duty.releases.map((each) => [
        each.kind,
        each.dutyDate,
        each.occurredAt,
        each.lotMark,
        each.category,
        number(each.count),
        litres(each.litres),
        number(each.strengthForDuty.value),
        litres(each.litresOfPureAlcoholForDuty),
        litres(each.litresOfPureAlcoholInBooks),
        each.operations,
      ]),
    },
    listed('losses', report.losses),
    listed('corrections', report.corrections),
  ];
}
