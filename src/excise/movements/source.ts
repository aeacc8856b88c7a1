import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { toBookLitres } from '../../metrology/units.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Subject } from '../../ledger/books/account.js';
import type { StockAccount } from '../../ledger/books/stock.reader.js';
import type { Explained } from '../../ledger/corrections/explanations.js';
import type { FollowedLot } from '../../production/operations/containers/container-events.js';
import type { WireQuantity } from '../../production/shared/event.dto.js';

/** Goods that leave, and the account that they leave. */
export interface MovementSource {
  /** As it is now, or as it was at the event where that explains a later assertion. */
  readonly account: StockAccount;
  readonly subject: Subject;
  readonly litres: Decimal;
  /** Of what is packed, in % vol. */
  readonly declaredStrengthPercent: string | undefined;
  readonly nominalLitres: string | undefined;
  /** Of what is in bulk. */
  readonly vesselKind: string | undefined;
  readonly explained: Explained | undefined;
  /** Of packed goods that are followed by serial. */
  readonly followed: FollowedLot | undefined;
}

/** Packed goods or bulk: they are of a lot and a composition. */
export interface ProductSource extends MovementSource {
  readonly subject: Subject & { readonly lotId: string; readonly compositionId: string };
}

/** Facts about the movement that a source depends on. */
export interface Asked {
  readonly occurredAt: Date;
  /** The gauge or stock-take that the movement explains. */
  readonly explains: string | undefined;
}

/** A volume as the books take it. @throws ProblemException `out-of-range` for less than they can hold */
export function bookLitresOf(volume: WireQuantity): Decimal {
  const { litres } = toBookLitres(volume, 'volume');
  if (litres.isZero()) {
    throw new ProblemException('out-of-range', 'The volume is less than the books can hold.', {
      errors: [{ pointer: '/volume/value', rule: 'out-of-range', detail: 'Give at least 0.000001 L.' }],
    });
  }
  return litres;
}

export const NOTHING_THERE = new Exact(0);

/** Stops a draw of more than nothing from an account that does not exist; the check of the stock comes before. */
export function unreachable(): never {
  throw new Error('A draw of more than nothing was let through from an account that is not there.');
}
