import { toLitres } from '../../../ledger/books/litres.dto.js';
import { Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { FieldError } from '../../../platform/problems/problem.exception.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { malformed } from '../../../production/shared/references.js';
import type { BookFigure } from './book-figure.js';
import type { NewOffset, StockOffset } from './stock-takes.dto.js';

const differenceOf = ({ found, account }: BookFigure): Decimal => found.litres.minus(account.balance.litres);

/** Errors of a pair that cannot stand: what is no count, used twice, no shortage with a surplus, or of two categories. */
function errorsOf(pair: NewOffset, index: number, figures: readonly BookFigure[], used: Set<number>): FieldError[] {
  const place = `/offsets/${index}`;
  const [short, over] = [figures.at(pair.shortage), figures.at(pair.surplus)];
  if (short === undefined || over === undefined) {
    return [
      { pointer: place, rule: 'no-such-count', detail: 'Give the places of two counts of this stock-take, from 0.' },
    ];
  }
  if (used.has(pair.shortage) || used.has(pair.surplus) || pair.shortage === pair.surplus) {
    return [{ pointer: place, rule: 'not-unique', detail: 'Each count stands in one pair at the most.' }];
  }
  used.add(pair.shortage).add(pair.surplus);
  if (!differenceOf(short).isNegative() || !differenceOf(over).greaterThan(0)) {
    return [{ pointer: place, rule: 'no-pair', detail: 'A pair is of one count that is short and one that is over.' }];
  }
  return short.subject.category === over.subject.category &&
    short.account.account.dutyStatus === over.account.account.dutyStatus
    ? []
    : [{ pointer: place, rule: 'other-goods', detail: 'Both counts have to be of one category and one duty status.' }];
}

/**
 * Pairs of a shortage and a surplus that are set off against each other, by the place of each count.
 *
 * @param isAllowed the producer's setting
 * @throws ProblemException `conflict` where the setting does not allow it; `validation-failed` for a pair that cannot stand
 */
export function offsetsOf(
  pairs: readonly NewOffset[],
  figures: readonly BookFigure[],
  ids: readonly string[],
  isAllowed: boolean,
): ReadonlyMap<number, StockOffset> {
  if (pairs.length > 0 && !isAllowed) {
    const detail =
      'A shortage is not set off against a surplus here. Where your rules allow it for pairs that are shown to be related, change the setting allowStockOffsets.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer: '/offsets', rule: 'not-allowed', detail }] });
  }
  const used = new Set<number>();
  const errors = pairs.flatMap((pair, index) => errorsOf(pair, index, figures, used));
  if (errors.length > 0) {
    throw malformed(...errors);
  }
  return new Map(
    pairs.flatMap(({ shortage, surplus, reason }) => {
      const litres = Exact.min(differenceOf(figures[shortage]).negated(), differenceOf(figures[surplus]));
      const against = (place: number): StockOffset => ({ operationId: ids[place], litres: toLitres(litres), reason });
      return [
        [shortage, against(surplus)],
        [surplus, against(shortage)],
      ] as [number, StockOffset][];
    }),
  );
}
