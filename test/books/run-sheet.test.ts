import fc from 'fast-check';
import type { Amount } from '../../src/ledger/books/amount.js';
import { isNothing, minus, plus } from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import { combined, componentRows, negatedComponents } from '../../src/ledger/books/components.js';
import { Exact } from '../../src/metrology/decimals.js';
import { ProblemException } from '../../src/platform/problems/problem.exception.js';
import type { Run, RunSheet } from '../../src/production/operations/packaging/run-sheet.js';
import { runSheet } from '../../src/production/operations/packaging/run-sheet.js';
import { balances, micro, vectors } from './generators.js';

const runs = fc
  .record({
    nominal: fc.integer({ min: 1, max: 50_000_000 }),
    fill: fc.double({ min: 0.9, max: 1.1, noNaN: true }),
    count: fc.integer({ min: 1, max: 5_000 }),
    loss: fc.option(fc.integer({ min: 0, max: 5_000_000 }), { nil: undefined }),
    emptied: fc.boolean(),
  })
  .map(({ nominal, fill, count, loss, emptied }): Run => ({
    nominalLitres: micro(nominal),
    count,
    meanFillLitres: micro(Math.max(1, Math.round(nominal * fill))),
    lossLitres: loss === undefined ? undefined : micro(loss),
    emptied: emptied || loss === undefined,
    reasonCode: 'counting-error',
  }));

/** Runs that the balance holds; a draw of exactly all of it, too. */
const cases = fc.tuple(runs, balances, vectors).chain(([run, balance, components]) => {
  const needed = run.meanFillLitres.times(run.count).plus(run.lossLitres ?? 0);
  return fc.constantFrom('as-is', 'exact', 'ample').map((kind) => ({
    run,
    components,
    balance:
      kind === 'as-is' ? balance : { ...balance, litres: kind === 'exact' ? needed : needed.plus(balance.litres) },
  }));
});

const held = ({ balance }: { balance: Amount }): boolean =>
  balance.fermented.plus(balance.added).lessThan(balance.litres);

function sheetOf(run: Run, balance: Amount, components: Components): RunSheet | undefined {
  try {
    return runSheet(run, balance, components);
  } catch (error) {
    if (error instanceof ProblemException) {
      return undefined;
    }
    throw error;
  }
}

const isNegative = (what: Amount): boolean =>
  [what.litres, what.fermented, what.added].some((each) => each.lessThan(0));

test('what a run takes and what it gains is what it packs, loses and fills over, to the last decimal', () => {
  let reached = 0;
  fc.assert(
    fc.property(cases.filter(held), ({ run, balance, components }) => {
      const sheet = sheetOf(run, balance, components);
      if (sheet === undefined) {
        return;
      }
      reached += 1;
      const { gain, packed, fillDifference, loss } = sheet;
      const out = plus(plus(packed.amount, fillDifference.amount), loss.amount);
      const left = minus(plus(balance, gain.amount), out);
      expect(packed.amount.litres.equals(run.nominalLitres.times(run.count))).toBe(true);
      // The vessel holds no less than nothing afterwards, and nothing at all when it was emptied.
      expect(isNegative(left)).toBe(false);
      expect(isNegative(packed.amount)).toBe(false);
      expect(isNegative(gain.amount)).toBe(false);
      if (run.emptied) {
        expect(isNothing(left)).toBe(true);
      }
      if (left.litres.isZero()) {
        expect(isNothing(left)).toBe(true);
      }
      if (run.lossLitres !== undefined && !run.emptied) {
        expect(loss.amount.litres.equals(run.lossLitres)).toBe(true);
      }
      // No litres, no alcohol: not in the loss, not in the difference.
      for (const each of [loss.amount, fillDifference.amount]) {
        expect(each.litres.isZero() && !isNothing(each)).toBe(false);
      }
      expect(isNegative(loss.amount)).toBe(false);
      // All uncertainty that leaves the vessel arrives somewhere.
      const shares = combined(packed.components, fillDifference.components, loss.components, gain.components);
      if (run.emptied) {
        expect(componentRows(combined(components, negatedComponents(shares)))).toEqual([]);
      }
    }),
    { numRuns: 2_000 },
  );
  expect(reached).toBeGreaterThan(500);
});

test('far more than there is cannot be packed', () => {
  fc.assert(
    fc.property(balances, fc.integer({ min: 2, max: 100 }), (balance, times) => {
      const run: Run = {
        nominalLitres: balance.litres,
        count: times,
        meanFillLitres: balance.litres,
        lossLitres: undefined,
        emptied: true,
        reasonCode: 'counting-error',
      };
      const wide: Components = new Map([['x', { litres: new Exact(0), lpa: new Exact(0) }]]);
      expect(() => runSheet(run, balance, wide)).toThrow(ProblemException);
    }),
  );
});
