import type { PeriodReport } from '../documents/report.dto.js';
import type { ListedEntry } from '../documents/listed-entry.dto.js';
import type { ReportTie } from '../documents/report-ties.dto.js';
import { isNothing, words } from '../render/figures-text.js';
import type { ReportTable } from '../render/report-table.js';
import {
  amountCells,
  code,
  FIGURES,
  figureCells,
  flag,
  instant,
  number,
  onPageOnly,
  operationPart,
  operations,
  tableOf,
  text,
} from '../render/report-table.js';
import { FINDING, findingCells } from './balance-tables.js';
import { JUDGEMENT, judgementCells } from './judgement-cells.js';

/** Each stage of stock from opening to closing; a page leaves out a stage that had nothing. */
export const stagesTable = ({ stages }: PeriodReport): ReportTable =>
  tableOf(
    'stages',
    {
      stage: code('Stage'),
      duty_status: code('Duty status'),
      line: code('Line'),
      ...FIGURES,
      balances: flag('Balances'),
    },
    stages.flatMap((each) => {
      const csvOnly = [each.opening, each.in, each.out, each.closing].every(isNothing);
      return [
        ...(['opening', 'in', 'out'] as const).map((line) => ({
          stage: each.stage,
          duty_status: each.dutyStatus,
          line,
          ...figureCells(each[line]),
          csvOnly,
        })),
        {
          stage: each.stage,
          duty_status: each.dutyStatus,
          line: 'closing',
          ...figureCells(each.closing),
          balances: each.balances,
          emphasised: true,
          csvOnly,
        },
      ];
    }),
  );

/** A line of the report is told from a stage of the same name. */
const placeCells = (name: string) => ({
  name,
  place: name.startsWith('line ') ? `line “${words(name.slice('line '.length))}”` : words(name),
});

/** Each tie with both sides and the difference. */
export const tiesTable = (ties: readonly ReportTie[]): ReportTable =>
  tableOf(
    'ties',
    {
      tie: code('Work'),
      side: code('Side'),
      name: code('Stage, line or premises'),
      place: onPageOnly(text('Stage, line or premises')),
      ...FIGURES,
      balances: flag('Balances'),
    },
    ties.flatMap(({ name: tie, inputs, outputs, totalInputs, totalOutputs, difference, balances }) => [
      ...inputs.map((each) => ({ tie, side: 'input', ...placeCells(each.name), ...figureCells(each) })),
      { tie, side: 'input', ...placeCells('total'), ...amountCells(totalInputs) },
      ...outputs.map((each) => ({ tie, side: 'output', ...placeCells(each.name), ...figureCells(each) })),
      { tie, side: 'output', ...placeCells('total'), ...amountCells(totalOutputs) },
      { tie, side: 'difference', ...amountCells(difference), balances, emphasised: true },
    ]),
  );

const OPERATION = operations('Op. No.');
const operationCell = ({ operations: link, operationId }: { operations: string; operationId: string }) => ({
  operations: { link, operationId },
});

/** An operation by its name, goods and recipient, on a page alone. */
const NAMED = {
  name: operationPart('Operation', 'name'),
  goods: operationPart('Goods', 'goods'),
  count: operationPart('Count', 'count'),
  recipient: operationPart('Recipient', 'recipient'),
};
const namedCells = (each: { operations: string; operationId: string }) => {
  const { operations } = operationCell(each);
  return { operations, name: operations, goods: operations, count: operations, recipient: operations };
};

export const lotsProducedTable = ({ lotsProduced }: PeriodReport): ReportTable =>
  tableOf(
    'lots-produced',
    {
      lot: text('Lot'),
      day: text('Day'),
      occurred_at: instant('Finished (local)'),
      category: code('Category'),
      ...FINDING,
      operations: OPERATION,
      ...FIGURES,
    },
    lotsProduced.map((each) => ({
      lot: each.lotCode,
      day: each.day,
      occurred_at: each.occurredAt,
      category: each.category,
      ...findingCells(each.finding),
      ...operationCell(each),
      ...figureCells(each),
    })),
  );

/** Differences of stock-takes, each product by itself. */
export const differencesTable = ({ stockDifferences }: PeriodReport): ReportTable =>
  tableOf(
    'stock-differences',
    {
      description: text('Product'),
      category: code('Category'),
      occurred_at: instant('Counted (local)'),
      explained: flag('Explained'),
      reason: code('Reason'),
      operations: OPERATION,
      ...FIGURES,
      ...JUDGEMENT,
    },
    stockDifferences.map((each) => ({
      description: each.product,
      category: each.category,
      occurred_at: each.occurredAt,
      explained: each.explained,
      reason: each.reasonCode,
      ...operationCell(each),
      ...figureCells(each),
      ...judgementCells(each.judgement),
      emphasised: !each.explained,
    })),
  );

export const lateTable = ({ lateEntries }: PeriodReport): ReportTable =>
  tableOf(
    'late-entries',
    {
      kind: code('Operation'),
      occurred_at: instant('Event (local)'),
      recorded_at: instant('Entered (local)'),
      days_late: number('Days'),
      operations: OPERATION,
      ...NAMED,
    },
    lateEntries.entries.map((each) => ({
      kind: each.kind,
      occurred_at: each.occurredAt,
      recorded_at: each.recordedAt,
      days_late: each.daysLate,
      ...namedCells(each),
    })),
  );

const entriesTable = (name: string, entries: readonly ListedEntry[]): ReportTable =>
  tableOf(
    name,
    {
      line: code('Line'),
      day: text('Day'),
      occurred_at: instant('Occurred (local)'),
      kind: code('Operation'),
      category: code('Category'),
      reason: code('Reason'),
      operations: OPERATION,
      ...FIGURES,
      ...JUDGEMENT,
      ...NAMED,
    },
    entries.map((each) => ({
      line: each.line,
      day: each.day,
      occurred_at: each.occurredAt,
      kind: each.operationKind,
      category: each.category,
      reason: each.reasonCode,
      ...namedCells(each),
      ...figureCells(each),
      ...judgementCells(each.judgement),
    })),
  );

export const lossesTable = ({ losses }: PeriodReport): ReportTable => entriesTable('losses', losses);
export const correctionsTable = ({ corrections }: PeriodReport): ReportTable =>
  entriesTable('corrections', corrections);
