import type { ListedEntry, PeriodReport, ReconciliationMeasures } from '../documents/report.dto.js';
import type { CsvCell, NamedTable } from '../render/csv-table.js';
import { FIGURES, figures, litres, number } from '../render/csv-table.js';
import { dutyTables } from './duty-tables.js';
import { basisWord } from '../render/figures-text.js';
import { workTables } from './work-tables.js';

const facts = ({
  status,
  basis,
  producer,
  premises,
  period,
  trail,
  versions,
  statement,
}: PeriodReport): NamedTable => ({
  name: 'report',
  columns: ['fact', 'value'],
  rows: [
    ['status', status],
    ...Object.entries(basis).map(([name, value]) => [name, basisWord(value)]),
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

const road = (name: string, { litres: l, fermented, added }: ReconciliationMeasures): CsvCell[] => [
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
  const { opening, turnover, lines, closing, categories, reconciliation, stock, lotsInProcess, duty, deficiency } =
    report;
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
      name: 'reconciliation',
      columns: ['road', 'litres', 'fermented', 'added'],
      rows: (['opening', 'flows', 'closing', 'difference'] as const).map((name) => road(name, reconciliation[name])),
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
        'last_counted_at',
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
        each.lastCountedAt ?? '',
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
        ...(stock.byOwner ?? []).map((each) => ['owner', each.owner ?? 'own', ...figures(each)]),
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
    ...dutyTables(duty, deficiency),
    ...workTables(report),
    listed('losses', report.losses),
    listed('corrections', report.corrections),
  ];
}
