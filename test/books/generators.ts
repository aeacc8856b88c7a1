import fc from 'fast-check';
import type { Amount } from '../../src/ledger/books/amount.js';
import { amount } from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import { componentOf } from '../../src/ledger/books/components.js';
import { Exact } from '../../src/metrology/decimals.js';
import type { Decimal } from '../../src/metrology/decimals.js';

/** Millionths of a litre as litres. */
export const micro = (millionths: number): Decimal => new Exact(millionths).dividedBy(1_000_000);

/** What an account may hold: from a drop to a tank, with alcohol of both kinds up to 99 % of it. */
export const balances: fc.Arbitrary<Amount> = fc
  .tuple(
    fc.oneof(fc.integer({ min: 1, max: 1_000 }), fc.integer({ min: 1_000, max: 1_000_000_000_000 })),
    fc.double({ min: 0, max: 0.99, noNaN: true }),
    fc.double({ min: 0, max: 1, noNaN: true }),
  )
  .map(([litres, strength, addedShare]) => {
    const alcohol = Math.floor(litres * strength);
    const added = Math.floor(alcohol * addedShare);
    return amount(micro(litres), micro(alcohol - added), micro(added));
  });

const contribution = fc
  .tuple(fc.double({ min: -50, max: 50, noNaN: true }), fc.double({ min: -5, max: 5, noNaN: true }))
  .map(([litres, lpa]) => ({ litres: componentOf(litres), lpa: componentOf(lpa) }));

/** Contributions to uncertainty by origin. */
export const vectors: fc.Arbitrary<Components> = fc
  .uniqueArray(fc.tuple(fc.constantFrom('a', 'b', 'c', 'd', 'e', 'f'), contribution), {
    selector: ([origin]) => origin,
  })
  .map((pairs) => new Map(pairs));
