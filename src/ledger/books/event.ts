import { ProblemException } from '../../platform/problems/problem.exception.js';

/** How far ahead of the clock an event may lie: clocks of the floor differ a little. */
export const AHEAD_MS = 5 * 60_000;

/** When an event was; now unless said. @throws ProblemException `time-ahead` more than five minutes ahead */
export function occurredAtOf(text: string | undefined, now: Date): Date {
  const at = text === undefined ? now : new Date(text);
  if (at.getTime() > now.getTime() + AHEAD_MS) {
    throw new ProblemException('time-ahead', 'The time lies more than five minutes ahead of the clock.', {
      members: { now: now.toISOString() },
    });
  }
  return at;
}
