import type { Amount } from '../../../ledger/books/amount.js';
import { bookStrengthPercent } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { combined, strengthComponents } from '../../../ledger/books/components.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';

/** Uncertainty by origin after a new measurement of the volume: that of the new volume, and that of the strength as before. */
export function measuredComponents(
  account: Pick<StockAccount, 'balance' | 'components'>,
  found: Amount,
  measured: Components,
): Components {
  const strength = bookStrengthPercent(account.balance) ?? 0;
  const { litres } = account.balance;
  const ofStrength = [...account.components].map(
    ([origin, each]) =>
      [
        origin,
        each.lpa.minus(each.litres.times(strength).dividedBy(100)).dividedBy(litres).times(100).toNumber(),
      ] as const,
  );
  return combined(strengthComponents(measured, found.litres, strength, ofStrength));
}
