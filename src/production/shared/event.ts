import { uuidv7 } from 'uuidv7';
import type { Amount } from '../../ledger/books/amount.js';
import { pureAlcohol } from '../../ledger/books/amount.js';
import { occurredAtOf } from '../../ledger/books/event.js';
import type { OperationHead } from '../../ledger/books/operation-draft.js';
import type { PersonalText } from '../../tenancy/producer-database/batch.js';
import type { EventAnswer, EventBody } from './event.dto.js';

/** The parts of an event that all kinds have: its head, and the words that stand outside the trail. */
export interface EventParts {
  readonly head: Pick<OperationHead, 'id' | 'occurredAt' | 'personId' | 'noteTextId'>;
  readonly personalText: readonly PersonalText[];
}

/** @throws ProblemException `time-ahead` */
export function eventParts(body: EventBody, now: Date): EventParts {
  const noteTextId = body.note === undefined ? undefined : uuidv7();
  return {
    head: { id: uuidv7(), occurredAt: occurredAtOf(body.occurredAt, now), personId: body.personId, noteTextId },
    personalText: noteTextId === undefined || body.note === undefined ? [] : [{ id: noteTextId, text: body.note }],
  };
}

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
