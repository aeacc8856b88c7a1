import { uuidv7 } from 'uuidv7';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { PersonalText } from '../../tenancy/producer-database/batch.js';
import type { OperationHead } from './operation-draft.js';

/** Longest time by which an event may lie ahead of the clock, because clocks differ a little. `post` in the database holds the same limit. */
export const AHEAD_MS = 5 * 60_000;

/** Time of an event; now if none is given. @throws ProblemException `time-ahead` more than five minutes ahead */
export function occurredAtOf(text: string | undefined, now: Date): Date {
  const at = text === undefined ? now : new Date(text);
  if (at.getTime() > now.getTime() + AHEAD_MS) {
    throw new ProblemException('time-ahead', 'The time lies more than five minutes ahead of the clock.', {
      members: { now: now.toISOString() },
    });
  }
  return at;
}

/** Properties that the body of every event may have. */
export interface EventBodyFacts {
  readonly occurredAt?: string;
  readonly personId?: string;
  readonly note?: string;
}

/** Properties that every operation takes from the event that it records. */
export type EventHead = Pick<OperationHead, 'id' | 'occurredAt' | 'personId' | 'noteTextId'>;

/** The head of an event, and its note, which is kept outside the trail. @throws ProblemException `time-ahead` */
export function eventOf(
  { occurredAt, personId, note }: EventBodyFacts,
  now: Date,
): { readonly head: EventHead; readonly personalText: readonly PersonalText[] } {
  const noteTextId = note === undefined ? undefined : uuidv7();
  return {
    head: { id: uuidv7(), occurredAt: occurredAtOf(occurredAt, now), personId, noteTextId },
    personalText: noteTextId === undefined || note === undefined ? [] : [{ id: noteTextId, text: note }],
  };
}
