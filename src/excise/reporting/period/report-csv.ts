import { stringify } from 'csv-stringify/sync';
import type { PeriodReport } from '../documents/report.dto.js';
import type { Cells } from './report-csv-cells.js';
import { figureCells, NUMBER_COLUMNS, plain, record, roadCells, TEXT_COLUMNS } from './report-csv-cells.js';
import { dutyRows } from './report-csv-duty.js';
import { workRows } from './report-csv-work.js';

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

function balanceRows({ opening, lines, closing, reconciliation }: PeriodReport): Cells[] {
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
      section: 'reconciliation',
      line: road,
      ...roadCells(reconciliation[road]),
    })),
    { section: 'reconciliation', line: 'meets', what: String(reconciliation.balances) },
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
    ...(stock.byOwner ?? []).map((each) => ({
      section: 'stock-by-owner',
      line: each.owner ?? 'own',
      ...figureCells(each),
    })),
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

/** The document as one table, RFC 4180: texts are neutralised for spreadsheets, numbers stay numbers. */
export function reportCsv(report: PeriodReport): string {
  const rows: Cells[] = [
    ...headRows(report),
    ...balanceRows(report),
    ...categoryRows(report),
    ...stockRows(report),
    ...dutyRows(report),
    ...workRows(report),
    ...report.statement.map((what) => ({ section: 'statement', what })),
  ];
  return stringify([[...TEXT_COLUMNS, ...NUMBER_COLUMNS], ...rows.map(record)], { record_delimiter: 'windows' });
}
