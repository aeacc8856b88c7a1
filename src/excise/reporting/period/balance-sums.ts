import type { Figures } from '../../../ledger/books/litres.dto.js';
import { isNothing } from '../render/figures-text.js';
import type { AnyBalance } from './balance-tables.js';
import { balancesShown } from './balance-tables.js';

const EXCEPT_ADJUSTED = ['opening', 'in', 'out', 'closing'] as const;
const WITH_ADJUSTED = ['opening', 'in', 'out', 'adjusted', 'closing'] as const;
const STATUS_NAMES: Readonly<Record<string, string>> = { suspended: 'Under suspension', paid: 'Duty paid' };

/** Said of the sums on the first page. */
export const SUMS_NOTE =
  'In, out and adjusted (moves within the books, re-measurement, earlier periods) are sums of the lines in the table of the balance.';

interface Balances {
  readonly opening: Figures;
  readonly closing: Figures;
  readonly balances: readonly AnyBalance[];
  readonly turnover: { readonly in: Figures; readonly out: Figures; readonly adjusted: Figures };
}

interface BalanceSum {
  readonly name: string;
  readonly figures: Figures;
  readonly emphasised: boolean;
}

/** Opening, in, out and closing of each balance that has anything, and of both together where both have. */
export function balanceSums({ balances, opening, turnover, closing }: Balances): BalanceSum[] {
  const shown = balancesShown(balances);
  const parts = [
    ...shown.map((each) => ({ ...each, name: STATUS_NAMES[each.dutyStatus] ?? '' })),
    ...(shown.length < 2 ? [] : [{ name: 'Together', opening, ...turnover, closing }]),
  ];
  return parts.flatMap((part) =>
    (isNothing(part.adjusted) ? EXCEPT_ADJUSTED : WITH_ADJUSTED).map((sum) => ({
      name: `${part.name}: ${sum}`,
      figures: part[sum],
      emphasised: sum === 'closing',
    })),
  );
}
