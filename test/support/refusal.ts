import { MetrologyError } from '../../src/metrology/problem.js';

/** Runs what must be refused and returns the refusal; anything else is a failure. */
export function refusalOf(run: () => unknown): MetrologyError {
  try {
    run();
  } catch (error) {
    if (error instanceof MetrologyError) return error;
    throw error;
  }
  throw new Error('expected a refusal, got an answer');
}
