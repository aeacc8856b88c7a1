import { canonicalText } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { countedContainers, groupedNumber } from '../../platform/words.js';
import type { AccountKey } from './account.js';
import { accountLine } from './account.js';

/** Containers of one kind, of which a number was asked for. */
interface RequestedContainers {
  /** As packed: `bottle`, `keg`… */
  readonly container: string;
  readonly nominalLitres: string;
  readonly count: number;
}

/** A request for stock, and the property that named it. */
export interface StockRequest {
  readonly account: AccountKey;
  readonly litres: Decimal;
  /** JSON pointer. */
  readonly pointer: string;
  /** Only where full containers were asked for. */
  readonly containers?: RequestedContainers;
}

const wholeContainers = (litres: Decimal, nominalLitres: string): number =>
  litres.dividedBy(nominalLitres).floor().toNumber();

const litresText = (litres: Decimal): string => `${groupedNumber(canonicalText(litres))} L`;

const PLACES: Readonly<Record<string, string>> = { liquid: 'in the vessel', 'in-transit': 'on the way' };

/**
 * Refuses a request for more than an account holds, in the words of whoever asked: full containers by their number, all else by its litres.
 *
 * @param inStock litres that the account holds, at 20 °C
 * @throws ProblemException `insufficient-stock` with `inStock` and `requested`, and for containers `containersInStock` and `containersRequested`
 */
export function requireInStock(inStock: Decimal, { account, litres, pointer, containers }: StockRequest): void {
  if (litres.lessThanOrEqualTo(inStock)) {
    return;
  }
  const whole = containers === undefined ? undefined : wholeContainers(inStock, containers.nominalLitres);
  const isAre = (count: number): string => (count === 1 ? 'is' : 'are');
  const detail =
    containers === undefined || whole === undefined
      ? `${litresText(inStock)} are ${PLACES[account.kind] ?? 'in stock'}; ${litresText(litres)} were asked for.`
      : `${countedContainers(whole, containers.container)} ${isAre(whole)} in stock; ${groupedNumber(containers.count)} were asked for.`;
  throw new ProblemException('insufficient-stock', detail, {
    errors: [{ pointer, rule: 'insufficient-stock', detail }],
    members: {
      account: accountLine(account),
      inStock: { value: inStock.toNumber(), unit: 'L' },
      requested: { value: litres.toNumber(), unit: 'L' },
      ...(containers === undefined ? {} : { containersInStock: whole, containersRequested: containers.count }),
    },
  });
}
