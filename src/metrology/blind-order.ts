import { requireCount } from './problem.js';
import type { SensoryMethod } from './sensory.js';

/** Draws a random whole number from 0 to `below - 1`; all are equally likely. */
export type Draw = (below: number) => number;

interface BlindSample {
  /** Three digits, 100 to 999, used once in a tasting. */
  readonly code: string;
  readonly drink: 'A' | 'B';
}

/** Samples of one assessor, in the order of tasting. */
export interface Serving {
  readonly number: number;
  readonly samples: readonly BlindSample[];
}

/** All orders of a method. */
const ORDERS: Readonly<Record<SensoryMethod, readonly string[]>> = {
  triangle: ['AAB', 'ABA', 'BAA', 'ABB', 'BAB', 'BBA'],
  paired: ['AB', 'BA'],
};

const FIRST_CODE = 100;
const CODES = 900;
/** Limit set by the 900 three-digit codes, with three for each serving. */
export const MOST_SERVINGS = CODES / 3;

/**
 * Draws the blind codes and the order of tasting of each serving. Orders come in blocks. A block has every order once, shuffled; the last block may
 * be cut short. So two orders differ by one in their number at most. Orders: ISO 4120 and ISO 5495, from memory.
 *
 * Range: 1 to 300 servings. @throws MetrologyError `not-whole`, `too-few`, `too-many`
 */
export function drawServings(method: SensoryMethod, count: number, draw: Draw): Serving[] {
  requireCount('servings', count, 1, MOST_SERVINGS);
  const orders: string[] = [];
  while (orders.length < count) orders.push(...shuffled(ORDERS[method], draw));
  const codes = shuffled(
    Array.from({ length: CODES }, (_, index) => String(FIRST_CODE + index)),
    draw,
  );
  return orders.slice(0, count).map((order, index) => ({
    number: index + 1,
    samples: [...order].map((drink) => ({ code: codes.pop() ?? '', drink: drink as 'A' | 'B' })),
  }));
}

/** A copy in random order (Fisher and Yates). */
function shuffled<T>(items: readonly T[], draw: Draw): T[] {
  const copy = [...items];
  for (let last = copy.length - 1; last > 0; last -= 1) {
    const at = draw(last + 1);
    [copy[last], copy[at]] = [copy[at], copy[last]];
  }
  return copy;
}
