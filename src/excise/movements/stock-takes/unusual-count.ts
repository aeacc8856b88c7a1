import { rootSumSquare } from '../../../ledger/books/components.js';
import { canonicalText } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { countedContainers, groupedNumber } from '../../../platform/words.js';
import { usualDifferenceL } from '../../../production/operations/gauges/gauge-difference.js';
import type { BookFigure } from './book-figure.js';

/** A difference of so many containers needs no reason, however few the books have; common practice, no source. */
const FEW_CONTAINERS = 5;

/**
 * Refuses a count that is far from the books and has no reason: a slip of the pen must not become stock.
 *
 * @param usualPercent the producer's usual difference of a gauge, which holds for a stock-take too
 * @throws ProblemException `reason-needed` at the count
 */
export function requireUsualCount(
  { account, found, foundComponents, filled }: BookFigure,
  reasonCode: string | undefined,
  place: string,
  usualPercent: number,
): void {
  const bookLitres = account.balance.litres;
  const gauged = {
    bookLitres,
    foundLitres: found.litres,
    standardUncertaintyL: rootSumSquare(foundComponents, 'litres'),
  };
  const few = filled === undefined ? 0 : FEW_CONTAINERS * filled.nominalLitres.toNumber();
  const limit = Math.max(few, usualDifferenceL(gauged, usualPercent));
  if (reasonCode !== undefined || found.litres.minus(bookLitres).abs().toNumber() <= limit) {
    return;
  }
  const amount = (litres: Decimal): string =>
    filled === undefined
      ? `${groupedNumber(canonicalText(litres.toDecimalPlaces(2)))} L`
      : countedContainers(litres.dividedBy(filled.nominalLitres).toDecimalPlaces(2).toNumber(), filled.container);
  const detail = `The books have ${amount(bookLitres)}, and ${amount(found.litres)} were counted.`;
  const advice = 'Count again, and check the number and its unit. If the count is right, say why in reasonCode.';
  throw new ProblemException('reason-needed', detail, {
    errors: [{ pointer: `${place}/reasonCode`, rule: 'reason-needed', detail: advice }],
    members: {
      bookVolume: { value: bookLitres.toNumber(), unit: 'L' },
      countedVolume: { value: found.litres.toNumber(), unit: 'L' },
      limit: { value: limit, unit: 'L' },
    },
  });
}
