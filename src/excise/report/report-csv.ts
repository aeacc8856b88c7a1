import { stringify } from 'csv-stringify/sync';
import type { Figures, Litres } from '../../ledger/books/litres.dto.js';
import { litresOf } from '../../ledger/books/litres.dto.js';
import { canonicalText, Exact } from '../../metrology/decimals.js';
import { csvText } from '../../platform/csv-text.js';
import type { PeriodReport, RoadMeasures } from './report.dto.js';

const TEXT_COLUMNS = ['section', 'line', 'category', 'what', 'at', 'reason', 'operations'] as const;
const NUMBER_COLUMNS = [
  'litres',
  'litres_of_pure_alcohol',
  'fermented',
  'added',
  'expanded_uncertainty_litres',
  'expanded_uncertainty_litres_of_pure_alcohol',
  'count',
  'strength_percent',
  'litres_of_pure_alcohol_for_duty',
] as const;

type TextCells = Partial<Record<(typeof TEXT_COLUMNS)[number], string>>;
type NumberCells = Partial<Record<(typeof NUMBER_COLUMNS)[number], string>>;
type Cells = TextCells & NumberCells;

const decimal = (value: Litres): string => canonicalText(litresOf(value));
const plain = (value: number): string => canonicalText(new Exact(value));

const figureCells = (figures: Figures): NumberCells => ({
  litres: decimal(figures.litres),
  litres_of_pure_alcohol: decimal(figures.litresOfPureAlcohol),
  fermented: decimal(figures.fermented),
  added: decimal(figures.added),
  expanded_uncertainty_litres: decimal(figures.expandedUncertainty.litres),
  expanded_uncertainty_litres_of_pure_alcohol: decimal(figures.expandedUncertainty.litresOfPureAlcohol),
});

const roadCells = (road: RoadMeasures): NumberCells => ({
  litres: decimal(road.litres),
  fermented: decimal(road.fermented),
  added: decimal(road.added),
});

const fact = (line: string, what: string | number | boolean): Cells => ({
  section: 'report',
  line,
  what: String(what),
});

function headRows({ producer, premises, period, status, trail, versions, basis }: PeriodReport): Cells[] {
  return [
    fact('status', status),
    fact('producer', producer.name),
    fact('simulated', producer.simulated),
    fact('premises', premises.name),
    fact('startsOn', period.startsOn),
    fact('endsBefore', period.endsBefore),
    fact('startsAt', period.startsAt),
    fact('endsAt', period.endsAt),
    fact('timeZone', period.timeZone),
    fact('coverageFactor', String(basis.coverageFactor)),
    fact('trailSequence', trail.sequence),
    fact('trailHash', trail.hash),
    fact('program', versions.program),
    ...versions.methods.map(({ id, version }) => fact('method', `${id} ${version}`)),
    fact('ruleSet', `${versions.ruleSet.id} ${versions.ruleSet.version}`),
  ];
}

function balanceRows({ opening, lines, closing, roads }: PeriodReport): Cells[] {
  return [
    { section: 'balance', line: 'opening', what: opening.source, ...figureCells(opening) },
    ...lines.map((each) => ({
      section: 'balance',
      line: each.line,
      operations: each.operations,
      ...figureCells(each),
    })),
    { section: 'balance', line: 'closing', ...figureCells(closing) },
    ...(['opening', 'flows', 'closing', 'difference'] as const).map((road) => ({
      section: 'roads',
      line: road,
      ...roadCells(roads[road]),
    })),
    { section: 'roads', line: 'meets', what: String(roads.meets) },
  ];
}

function categoryRows({ categories }: PeriodReport): Cells[] {
  return categories.flatMap(({ category, opening, lines, closing }) => [
    { section: 'category', line: 'opening', category, ...figureCells(opening) },
    ...lines.map((each) => ({
      section: 'category',
      line: each.line,
      category,
      operations: each.operations,
      ...figureCells(each),
    })),
    { section: 'category', line: 'closing', category, ...figureCells(closing) },
  ]);
}

function stockRows({ stock, lotsInProcess }: PeriodReport): Cells[] {
  return [
    ...stock.byStage.map((each) => ({ section: 'stock-by-stage', line: each.stage, ...figureCells(each) })),
    ...stock.byStanding.map((each) => ({ section: 'stock-by-standing', line: each.standing, ...figureCells(each) })),
    ...stock.items.map((each) => ({
      section: 'stock',
      line: each.kind,
      ...(each.lastCountedAt === undefined ? {} : { at: each.lastCountedAt }),
      category: each.category,
      what: each.what,
      operations: each.operations,
      ...figureCells(each),
      ...(each.count === undefined ? {} : { count: plain(each.count) }),
      ...(each.bookStrength === undefined ? {} : { strength_percent: plain(each.bookStrength.value) }),
    })),
    ...lotsInProcess.map((each) => ({
      section: 'lot-in-process',
      line: each.standing,
      what: each.lotCode,
      ...figureCells(each),
      ...(each.finding === undefined
        ? {}
        : { at: each.finding.sampledAt, strength_percent: plain(each.finding.strength.value) }),
    })),
  ];
}

function movedRows({ duty, losses, stockDifferences, corrections }: PeriodReport): Cells[] {
  return [
    ...duty.releases.map((each) => ({
      section: 'duty',
      line: each.kind,
      category: each.category,
      what: each.lotMark,
      at: each.dutyDate,
      operations: each.operations,
      litres: decimal(each.litres),
      litres_of_pure_alcohol: decimal(each.litresOfPureAlcoholInBooks),
      count: plain(each.count),
      strength_percent: plain(each.strengthForDuty.value),
      litres_of_pure_alcohol_for_duty: decimal(each.litresOfPureAlcoholForDuty),
    })),
    {
      section: 'duty',
      line: 'total',
      what: duty.rule.words,
      litres: decimal(duty.litres),
      litres_of_pure_alcohol: decimal(duty.litresOfPureAlcoholInBooks),
      litres_of_pure_alcohol_for_duty: decimal(duty.litresOfPureAlcoholForDuty),
    },
    ...stockDifferences.map((each) => ({
      section: 'stock-difference',
      line: each.explained ? 'explained' : 'unexplained',
      category: each.category,
      what: each.what,
      at: each.occurredAt,
      reason: each.reasonCode ?? '',
      operations: each.operations,
      ...figureCells(each),
    })),
    ...[...losses, ...corrections].map((each) => ({
      section: each.line === 'earlier-period' ? 'correction' : 'loss',
      line: each.line,
      category: each.category,
      at: each.occurredAt,
      reason: each.reasonCode ?? '',
      operations: each.operations,
      ...figureCells(each),
    })),
  ];
}

const record = (cells: Cells): string[] => [
  ...TEXT_COLUMNS.map((column) => csvText(cells[column] ?? '')),
  ...NUMBER_COLUMNS.map((column) => cells[column] ?? ''),
];

/** The document as one table, RFC 4180: texts are neutralised for spreadsheets, numbers stay numbers. */
export function reportCsv(report: PeriodReport): string {
  const rows: Cells[] = [
    ...headRows(report),
    ...balanceRows(report),
    ...categoryRows(report),
    ...stockRows(report),
    ...movedRows(report),
    ...report.statement.map((what) => ({ section: 'statement', what })),
  ];
  return stringify([[...TEXT_COLUMNS, ...NUMBER_COLUMNS], ...rows.map(record)], { record_delimiter: 'windows' });
}
