import type { Amount } from '../../../ledger/books/amount.js';
import { isNothing, pureAlcohol } from '../../../ledger/books/amount.js';
import type { CompositionPosition } from '../../measuring/position/lot-position.js';
import { isInProcess } from '../../measuring/position/lot-position.js';
import type { Flag } from '../../shared/flag.dto.js';

/** Remark on the first gauge of a charged composition that was declared finished before: its alcohol was booked on other litres. */
export function orderFlags(target: CompositionPosition, change: Amount, gaugedAt: Date | undefined): Flag[] {
  if (isInProcess(target) || gaugedAt !== undefined || target.composition.kind !== 'charge' || isNothing(change)) {
    return [];
  }
  return [
    {
      code: 'gauged-after-finding',
      detail: `The finding of record came before this first gauge: ${change.litres.toFixed()} L and ${pureAlcohol(change).toFixed()} L of pure alcohol go to re-measurement. Produced and re-measured together are as if the gauge had come first; gauge first next time.`,
    },
  ];
}
