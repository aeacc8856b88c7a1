import { NOMINAL_KINDS } from '../books/account.js';
import type { NominalKind } from '../books/account.js';

/** Account kinds of a report are its lines, but for differences of stock-takes: a surplus and a shortage are two lines, never netted. */
export type ReportLineName = Exclude<NominalKind, 'stock-difference'> | 'stock-surplus' | 'stock-shortage';

export const REPORT_LINES: readonly ReportLineName[] = NOMINAL_KINDS.flatMap((kind): ReportLineName[] =>
  kind === 'stock-difference' ? ['stock-surplus', 'stock-shortage'] : [kind],
);

/** Account kind that a line sums. */
export const kindOfLine = (line: ReportLineName): NominalKind =>
  line === 'stock-surplus' || line === 'stock-shortage' ? 'stock-difference' : line;

/** Side of the balance on which a line is summed, whatever its sign; `adjusted`: moves within the books and corrections. */
export type LineGroup = 'in' | 'out' | 'adjusted';
export const LINE_GROUPS: readonly LineGroup[] = ['in', 'out', 'adjusted'];

const GROUPS: Readonly<Record<ReportLineName, LineGroup>> = {
  opening: 'in',
  receipts: 'in',
  'received-suspended': 'in',
  imported: 'in',
  'received-duty-paid': 'in',
  'production-in-process': 'in',
  fermentation: 'in',
  'fermentation-volume-change': 'in',
  produced: 'in',
  'liquid-added': 'in',
  'solids-dissolved': 'in',
  'mixing-volume-change': 'in',
  're-measurement': 'adjusted',
  'fill-difference': 'out',
  'yeast-and-trub': 'out',
  evaporation: 'out',
  released: 'out',
  'dispatched-suspended': 'out',
  exported: 'out',
  returned: 'in',
  samples: 'out',
  'own-use': 'out',
  'process-loss': 'out',
  'packaging-loss': 'out',
  'accidental-loss': 'out',
  theft: 'out',
  'transit-loss': 'out',
  destroyed: 'out',
  'stock-surplus': 'in',
  'stock-shortage': 'out',
  'category-moves': 'adjusted',
  'premises-moves': 'adjusted',
  'used-as-material': 'adjusted',
  'earlier-period': 'adjusted',
};

export const groupOfLine = (line: ReportLineName): LineGroup => GROUPS[line];

/** A line within one of the two balances, where materials used are what went from one into the other. */
export type BalanceLineName = Exclude<ReportLineName, 'used-as-material'> | 'duty-status-moves';

/** Within one balance materials used add up to what went into goods of the other. */
export const nameInBalance = (line: ReportLineName): BalanceLineName =>
  line === 'used-as-material' ? 'duty-status-moves' : line;

export const BALANCE_LINES: readonly BalanceLineName[] = REPORT_LINES.map(nameInBalance);

/** Lines of a group, in the order of the report. */
export const linesOfGroup = (group: LineGroup): ReportLineName[] =>
  REPORT_LINES.filter((line) => groupOfLine(line) === group);
