import type { DutyStatus } from '../../../ledger/books/account.js';
import { amount } from '../../../ledger/books/amount.js';
import { DUTY_STATUSES } from '../../../ledger/figures/by-status.js';
import type { Figure } from '../../../ledger/figures/figure.js';
import { figureOf, NO_FIGURE, reconcile, sumOfAmounts, toFigures } from '../../../ledger/figures/figure.js';
import type { StatusFlowRow } from '../../../ledger/figures/flow.reader.js';
import { groupOfLine, kindOfLine, nameInBalance, REPORT_LINES } from '../../../ledger/figures/report-lines.js';
import type { StockAtRow, StockSumRow } from '../../../ledger/figures/stock-at.reader.js';
import { judgementOf } from '../../movements/judgement.js';
import { isJudgedLine } from '../documents/loss-lines.js';
import type { BalanceLine, DutyBalance } from '../documents/balances.dto.js';
import type { TurnoverRow } from '../sources/turnover.reader.js';
import { operationLink } from './links.js';
import { reconciliationOf } from './reconciliation.js';

/** Stock at two ends and what flowed between them. */
export interface BalanceInput {
  readonly openingByStatus: ReadonlyMap<DutyStatus, Figure>;
  readonly statusFlows: readonly StatusFlowRow[];
  readonly turnover: readonly TurnoverRow[];
  readonly stock: readonly StockAtRow[];
  readonly stockSums: readonly StockSumRow[];
  /** Filter by which the operations of a line are looked up, besides the line and the duty status. */
  readonly operations: Readonly<Record<string, string>>;
}

function linesOf({ statusFlows, operations }: BalanceInput, dutyStatus: DutyStatus): BalanceLine[] {
  const own = new Map(statusFlows.filter((row) => row.dutyStatus === dutyStatus).map((row) => [row.kind, row]));
  return REPORT_LINES.flatMap((line) => {
    const row = own.get(line);
    const figures = row && toFigures(figureOf(row));
    return figures === undefined
      ? []
      : [
          {
            line: nameInBalance(line),
            group: groupOfLine(line),
            ...figures,
            ...(isJudgedLine(line) ? { judgement: judgementOf(figures) } : {}),
            operations: operationLink({ ...operations, line: kindOfLine(line), dutyStatus }),
          },
        ];
  });
}

/** Closing stock of one balance: the amount by the balances of the accounts, the uncertainty from the postings. */
function closingOf({ stock, stockSums }: BalanceInput, dutyStatus: DutyStatus): Figure {
  const sum = stockSums.find((row) => row.level === 'duty-status' && row.dutyStatus === dutyStatus);
  const own = stock.filter((row) => row.dutyStatus === dutyStatus);
  return {
    ...(sum === undefined ? NO_FIGURE : figureOf(sum)),
    amount: sumOfAmounts(own.map((row) => amount(row.litres, row.fermented, row.added))),
  };
}

/** The two balances, under suspension and duty paid, each from opening to closing. */
export const dutyBalances = (input: BalanceInput): DutyBalance[] =>
  DUTY_STATUSES.map((dutyStatus) => {
    const opening = input.openingByStatus.get(dutyStatus) ?? NO_FIGURE;
    const closing = closingOf(input, dutyStatus);
    const flows = input.statusFlows.filter((row) => row.dutyStatus === dutyStatus);
    const sum = (group: TurnoverRow['group']): Figure => {
      const row = input.turnover.find((each) => each.group === group && each.dutyStatus === dutyStatus);
      return row === undefined ? NO_FIGURE : figureOf(row);
    };
    return {
      dutyStatus,
      opening: toFigures(opening),
      in: toFigures(sum('in')),
      out: toFigures(sum('out')),
      adjusted: toFigures(sum('adjusted')),
      closing: toFigures(closing),
      lines: linesOf(input, dutyStatus),
      reconciliation: reconciliationOf(
        reconcile(opening.amount, sumOfAmounts(flows.map((row) => figureOf(row).amount)), closing.amount),
      ),
    };
  });
