import type { Subject } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { atStrengthOf } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';

/** One product as the books had it at the moment, and as it was found. */
export interface BookFigure {
  /** As it stood at the moment. */
  readonly account: StockAccount;
  readonly subject: Subject;
  readonly found: Amount;
  readonly foundComponents: Components;
  /** Containers of packed goods. */
  readonly filled?: { readonly container: string; readonly nominalLitres: Decimal };
  /** Containers with serials that turned up, and those that were not there. */
  readonly turnedUp?: readonly ContainerLitres[];
  readonly missing?: readonly ContainerLitres[];
}

export interface ContainerLitres {
  readonly serial: string;
  readonly litres: Decimal;
}

/** Place and time of a stock-take. */
export interface Taken {
  readonly premisesId: string;
  readonly at: Date;
  /** Origin of the uncertainty of one reading alone. */
  readonly origin: string;
}

export const refused = (pointer: string, rule: string, detail: string, more: object = {}): ProblemException =>
  new ProblemException('conflict', detail, { errors: [{ pointer, rule, detail, ...more }] });

/** Amount found, at the strength that the account had: counting finds a volume and no strength. */
export const atBookStrength = (balance: Amount, litres: Decimal): Amount =>
  litres.equals(balance.litres) ? balance : atStrengthOf(balance, litres);
