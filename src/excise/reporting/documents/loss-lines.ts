import type { NominalKind } from '../../../ledger/books/account.js';

/** Lines of the report on which each entry is listed with its date and reason. */
const LOSS_LINES = [
  'yeast-and-trub',
  'evaporation',
  'process-loss',
  'packaging-loss',
  'accidental-loss',
  'theft',
  'transit-loss',
  'destroyed',
] as const satisfies readonly NominalKind[];

export const isLossLine = (line: string): boolean => (LOSS_LINES as readonly string[]).includes(line);

/** Lines whose sums are judged against their uncertainty. */
export const isJudgedLine = (line: string): boolean =>
  isLossLine(line) || line === 'stock-surplus' || line === 'stock-shortage' || line === 're-measurement';

/** Lines whose entries are listed one by one: lots produced, losses, and what puts earlier periods right. */
export const LISTED_LINES = ['produced', ...LOSS_LINES, 'earlier-period'] as const satisfies readonly NominalKind[];
