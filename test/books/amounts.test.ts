import fc from 'fast-check';
import type { Amount } from '../../src/ledger/books/amount.js';
import {
  amount,
  amountTexts,
  atStrengthOf,
  drawnFrom,
  isNothing,
  minus,
  NOTHING,
  plus,
  pureAlcohol,
} from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import {
  combined,
  componentRows,
  negatedComponents,
  rootSumSquare,
  drawnComponents,
  withoutComponents,
} from '../../src/ledger/books/components.js';
import { Exact } from '../../src/metrology/decimals.js';
import { balances, micro, vectors } from './generators.js';

const same = (a: Amount, b: Amount): boolean => isNothing(minus(a, b));

test('a draw and what it leaves add up to what was there, exactly', () => {
  fc.assert(
    fc.property(balances, fc.double({ min: 0, max: 1, noNaN: true }), (balance, part) => {
      const litres = micro(Math.floor(part * balance.litres.times(1e6).toNumber()));
      const drawn = drawnFrom(balance, litres);
      const rest = minus(balance, drawn);
      expect(same(plus(drawn, rest), balance)).toBe(true);
      for (const each of [drawn, rest]) {
        expect(each.fermented.isNegative() && !each.fermented.isZero()).toBe(false);
        expect(each.added.isNegative() && !each.added.isZero()).toBe(false);
        expect(each.litres.decimalPlaces()).toBeLessThanOrEqual(6);
        expect(pureAlcohol(each).decimalPlaces()).toBeLessThanOrEqual(6);
      }
      // Pro rata to half a millionth of a litre in each share.
      const exact = balance.fermented.times(litres).dividedBy(balance.litres);
      expect(drawn.fermented.minus(exact).abs().lessThanOrEqualTo('0.0000005')).toBe(true);
    }),
  );
});

test('however it is drawn, the last draw leaves nothing, and no litre without its alcohol goes below zero on the way', () => {
  fc.assert(
    fc.property(
      balances,
      fc.array(fc.double({ min: 0, max: 0.9, noNaN: true }), { maxLength: 30 }),
      (balance, parts) => {
        let left = balance;
        let taken = NOTHING;
        for (const part of parts) {
          const drawn = drawnFrom(left, micro(Math.floor(part * left.litres.times(1e6).toNumber())));
          left = minus(left, drawn);
          taken = plus(taken, drawn);
          expect(left.fermented.greaterThanOrEqualTo(0) && left.added.greaterThanOrEqualTo(0)).toBe(true);
        }
        const last = drawnFrom(left, left.litres);
        expect(isNothing(minus(left, last))).toBe(true);
        expect(same(plus(taken, last), balance)).toBe(true);
      },
    ),
  );
});

test('nothing beyond what is there can be drawn, nor less than nothing', () => {
  fc.assert(
    fc.property(balances, fc.integer({ min: 1, max: 1_000_000 }), (balance, more) => {
      expect(() => drawnFrom(balance, balance.litres.plus(micro(more)))).toThrow(RangeError);
      expect(() => drawnFrom(balance, micro(-more))).toThrow(RangeError);
    }),
  );
});

test('zero litres carry no alcohol', () => {
  fc.assert(
    fc.property(balances, (balance) => {
      expect(isNothing(drawnFrom(balance, micro(0)))).toBe(true);
      expect(isNothing(atStrengthOf(balance, micro(0)))).toBe(true);
    }),
  );
  expect(isNothing(drawnFrom(NOTHING, micro(0)))).toBe(true);
});

test('as texts the measures are canonical: no exponent, no trailing zero, no minus before nothing', () => {
  expect(amountTexts(amount('0.000001', '1.500000', '-0'))).toEqual({
    litres: '0.000001',
    lpaFermented: '1.5',
    lpaAdded: '0',
  });
  expect(amountTexts(amount('123456789.123456')).litres).toBe('123456789.123456');
});

const total = (vector: Components): [string, string, string][] => componentRows(vector);

test('components: a share and the rest are the whole, origin by origin; the last share is the rest', () => {
  fc.assert(
    fc.property(vectors, balances, fc.double({ min: 0, max: 1, noNaN: true }), (vector, balance, part) => {
      const drawn = micro(Math.floor(part * balance.litres.times(1e6).toNumber()));
      const share = drawnComponents(vector, balance, drawn);
      expect(total(combined(share, withoutComponents(vector, share)))).toEqual(total(vector));
      expect(total(withoutComponents(vector, drawnComponents(vector, balance, balance.litres)))).toEqual([]);
      for (const [, l, a] of total(share)) {
        expect(new Exact(l).decimalPlaces()).toBeLessThanOrEqual(12);
        expect(new Exact(a).decimalPlaces()).toBeLessThanOrEqual(12);
      }
    }),
  );
});

test('components: what is taken away again was never there', () => {
  fc.assert(
    fc.property(vectors, vectors, (a, b) => {
      expect(total(withoutComponents(combined(a, b), b))).toEqual(total(a));
      expect(total(combined(a, negatedComponents(a)))).toEqual([]);
      expect(rootSumSquare(combined(a, negatedComponents(a)), 'litres')).toBe(0);
    }),
  );
});
