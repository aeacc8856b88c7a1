import { stringify } from 'csv-stringify/sync';
import type { Figures, Litres } from '../../ledger/books/litres.dto.js';
import { litresOf } from '../../ledger/books/litres.dto.js';
import { canonicalText, Exact } from '../../metrology/decimals.js';
import { csvText } from '../../platform/csv-text.js';
import type { ListedEntry, PeriodReport, RoadMeasures } from '../report/report.dto.js';
import type { PeriodEvidence } from './evidence.dto.js';

/** A number cell keeps its kind, so that a minus sign is not taken for a formula. */
type Cell = string | { readonly number: string };

/** One table of a report: a file in the ZIP. */
export interface NamedTable {
  readonly name: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly Cell[])[];
}

const number = (value: number | undefined): Cell =>
  value === undefined ? '' : { number: canonicalText(new Exact(value)) };
const litres = (value: Litres): Cell => ({ number: canonicalText(litresOf(value)) });

const FIGURES = [
  'litres',
  'litres_of_pure_alcohol',
  'fermented',
  'added',
  'expanded_uncertainty_litres',
  'expanded_uncertainty_litres_of_pure_alcohol',
];
const figures = (figure: Figures): Cell[] => [
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

const road = (name: string, { litres: l, fermented, added }: RoadMeasures): Cell[] => [
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

/** What the figures rest on, as tables. */
export function evidenceTables(evidence: PeriodEvidence): NamedTable[] {
  const readings = new Map(evidence.readings.map((each) => [each.id, each]));
  return [
    {
      name: 'evidence-figures',
      columns: ['figure', 'line', 'category', 'account', 'operation_number'],
      rows: evidence.figures.flatMap(({ figure, line, category, accountId, operations }) =>
        operations.map((each) => [figure, line ?? '', category ?? '', accountId ?? '', number(each)]),
      ),
    },
    {
      name: 'evidence-operations',
      columns: [
        'number',
        'id',
        'kind',
        'occurred_at',
        'lot',
        'reverses_number',
        'reason',
        'litres',
        'litres_of_pure_alcohol',
        'findings',
        'instrument',
        'calibration',
        'person',
        'trail_entry',
      ],
      rows: evidence.operations.map((each) => [
        number(each.sequence),
        each.id,
        each.kind,
        each.occurredAt,
        each.lotCode ?? '',
        number(each.reverses),
        each.reasonCode ?? '',
        litres(each.litres),
        litres(each.litresOfPureAlcohol),
        each.findings.join(' '),
        each.measuredBy?.instrumentId ?? '',
        each.measuredBy?.calibrationId ?? '',
        each.personId ?? '',
        number(each.trailSequence),
      ]),
    },
    {
      name: 'evidence-findings',
      columns: [
        'id',
        'lot',
        'standing',
        'method',
        'version',
        'strength_percent',
        'expanded_uncertainty_percent',
        'sampled_at',
        'based_on',
        'certificate',
      ],
      rows: evidence.findings.map((each) => [
        each.id,
        each.lotCode,
        each.standing,
        each.methodId,
        each.methodVersion,
        number(each.strength.value),
        number(each.expandedUncertainty.value),
        each.sampledAt,
        each.basedOn.join(' '),
        each.certificate ?? '',
      ]),
    },
    {
      name: 'evidence-readings',
      columns: [
        'finding',
        'use',
        'id',
        'lot',
        'kind',
        'value',
        'unit',
        'temperature_c',
        'source',
        'taken_at',
        'instrument',
        'calibration',
        'person',
      ],
      rows: evidence.findings.flatMap((finding) =>
        finding.readings.flatMap(({ readingId, use, measuredBy }) => {
          const each = readings.get(readingId);
          return each === undefined
            ? []
            : [
                [
                  finding.id,
                  use,
                  each.id,
                  each.lotCode,
                  each.kind,
                  number(each.value),
                  each.unit ?? '',
                  number(each.sampleTemperature?.value),
                  each.source,
                  each.takenAt,
                  each.instrumentId ?? '',
                  measuredBy?.calibrationId ?? '',
                  each.personId ?? '',
                ],
              ];
        }),
      ),
    },
    {
      name: 'evidence-instruments',
      columns: ['id', 'kind', 'name', 'serial_number'],
      rows: evidence.instruments.map(({ id, kind, name, serialNumber }) => [id, kind, name, serialNumber ?? '']),
    },
    {
      name: 'evidence-calibrations',
      columns: ['id', 'instrument', 'performed_on', 'valid_until', 'certificate'],
      rows: evidence.calibrations.map(({ id, instrumentId, performedOn, validUntil, certificate }) => [
        id,
        instrumentId,
        performedOn,
        validUntil,
        certificate ?? '',
      ]),
    },
  ];
}

/** A table as RFC 4180 text: texts are neutralised for spreadsheets, numbers stay numbers. */
export const tableCsv = ({ columns, rows }: NamedTable): string =>
  stringify(
    [[...columns], ...rows.map((row) => row.map((cell) => (typeof cell === 'string' ? csvText(cell) : cell.number)))],
    { record_delimiter: 'windows' },
  );
