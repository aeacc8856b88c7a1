import type { Subject } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { drawnFrom } from '../../../ledger/books/amount.js';
import type { Components, Measure } from '../../../ledger/books/components.js';
import { drawnComponents, measuredComponents } from '../../../ledger/books/components.js';
import { requireInStock } from '../../../ledger/books/not-enough.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import type { CompositionPosition } from './lot-position.js';
import { inStock, isInProcess } from './lot-position.js';

/** Amount taken out of a vessel, as the books value it. */
export interface VesselDraw {
  readonly target: CompositionPosition;
  readonly stock: StockAccount;
  readonly subject: Subject & { readonly lotId: string; readonly compositionId: string };
  readonly amount: Amount;
  readonly components: Components;
  readonly inProcess: boolean;
  /** Nothing of it stays. */
  readonly whole: boolean;
}

/** The account of a composition in a vessel. @throws ProblemException `insufficient-stock` where there is nothing of it */
export function stockIn(target: CompositionPosition | undefined, vesselId: string, pointer: string): StockAccount {
  const stock = target && inStock(target).find(({ account }) => account.vesselId === vesselId);
  if (stock === undefined) {
    throw new ProblemException('insufficient-stock', 'The vessel is empty.', {
      errors: [{ pointer, rule: 'nothing-there', detail: 'The books hold nothing in that vessel.' }],
    });
  }
  return stock;
}

/** @throws ProblemException `insufficient-stock` naming what is in the vessel */
export const requireEnough = ({ account, balance }: StockAccount, litres: Decimal, pointer: string): void =>
  requireInStock(balance.litres, { account, litres, pointer });

/** Takes litres, or all if they are left out, with their share of the alcohol and the error of the measure. @throws ProblemException `insufficient-stock` */
export function drawFrom(
  target: CompositionPosition,
  stock: StockAccount,
  litres: Decimal | undefined,
  pointer: string,
  measure?: Measure,
): VesselDraw {
  const taken = litres ?? stock.balance.litres;
  requireEnough(stock, taken, pointer);
  const { composition } = target;
  return {
    target,
    stock,
    subject: { category: composition.category, lotId: composition.lotId, compositionId: composition.id },
    amount: drawnFrom(stock.balance, taken),
    components:
      measure === undefined
        ? drawnComponents(stock.components, stock.balance, taken)
        : measuredComponents(stock.components, stock.balance, taken, measure),
    inProcess: isInProcess(target),
    whole: taken.equals(stock.balance.litres),
  };
}

/** The finding that says what the composition is now: of record, or else the latest provisional one. */
export const findingNow = ({ ofRecord, provisional }: CompositionPosition): FindingRow | undefined =>
  ofRecord ?? provisional;
