import { ProblemException } from '../../platform/problems/problem.exception.js';

/** One more than the requests that can be under way for one producer at the same moment, within reason. */
const TRIES = 40;

/** Carries out a write that numbers what it makes, again for as long as another one took its number first. */
export async function untilFree<T>(write: () => Promise<T>): Promise<T> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await write();
    } catch (error) {
      const taken = error instanceof ProblemException && error.code === 'already-exists';
      if (!taken || attempt === TRIES) {
        throw error;
      }
    }
  }
}
