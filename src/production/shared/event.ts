import type { Amount } from '../../ledger/books/amount.js';
import { pureAlcohol } from '../../ledger/books/amount.js';
import type { OperationHead } from '../../ledger/books/operation-draft.js';
import type { EventAnswer } from './event.dto.js';

export function eventAnswer(
  head: Pick<OperationHead, 'id' | 'kind' | 'occurredAt' | 'lotId' | 'compositionId'>,
  amount: Amount,
  warnings: readonly string[],
): EventAnswer {
  return {
    operationId: head.id,
    kind: head.kind,
    occurredAt: head.occurredAt.toISOString(),
    lotId: String(head.lotId),
    compositionId: String(head.compositionId),
    volume: { value: amount.litres.toNumber(), unit: 'L' },
    pureAlcohol: { value: pureAlcohol(amount).toNumber(), unit: 'L' },
    warnings: [...warnings],
  };
}
