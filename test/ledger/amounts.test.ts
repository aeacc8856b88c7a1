import {
  amount,
  atStrengthOf,
  bookStrengthPercent,
  drawnFrom,
  isNothing,
  minus,
  negated,
  NOTHING,
  plus,
  pureAlcohol,
} from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import {
  combined,
  componentOf,
  componentRows,
  countedComponents,
  drawnComponents,
  rootSumSquare,
  strengthComponents,
  volumeComponents,
  withoutComponents,
} from '../../src/ledger/books/components.js';
import { figureOf, NO_FIGURE, reconcile, sumOfAmounts } from '../../src/ledger/figures/figure.js';
import { Exact } from '../../src/metrology/decimals.js';

// All figures were worked by hand.

describe('amounts', () => {
  const [a, b] = [amount('1.5', '0.1', '0.02'), amount('0.5', '0.03', '0.01')];

  test('add, subtract and turn about measure by measure', () => {
    expect(plus(a, b)).toEqual(amount(2, '0.13', '0.03'));
    expect(minus(a, b)).toEqual(amount(1, '0.07', '0.01'));
    expect(negated(a)).toEqual(amount('-1.5', '-0.1', '-0.02'));
    expect(pureAlcohol(a).toFixed()).toBe('0.12');
    expect(sumOfAmounts([a, b, a])).toEqual(amount('3.5', '0.23', '0.05'));
    expect(sumOfAmounts([])).toEqual(NOTHING);
  });

  test('nothing is nothing in each measure', () => {
    expect(isNothing(NOTHING)).toBe(true);
    for (const one of [amount('0.000001'), amount(0, '0.000001'), amount(0, 0, '0.000001'), amount(-1, 0, 0)]) {
      expect(isNothing(one)).toBe(false);
    }
  });

  test('a draw takes alcohol pro rata, half-even to six places; the last takes the rest', () => {
    expect(drawnFrom(amount(3, '0.1', '0.2'), new Exact(1))).toEqual(amount(1, '0.033333', '0.066667'));
    // 0.000001 and 0.000003 in two litres: a half goes to the even digit.
    expect(drawnFrom(amount(2, '0.000001', '0.000003'), new Exact(1))).toEqual(amount(1, 0, '0.000002'));
    expect(drawnFrom(amount(3, '0.1', '0.2'), new Exact(3))).toEqual(amount(3, '0.1', '0.2'));
    expect(drawnFrom(amount(3, '0.1', '0.2'), new Exact(0))).toEqual(NOTHING);
    expect(() => drawnFrom(amount(3), new Exact('3.000001'))).toThrow(RangeError);
    expect(() => drawnFrom(amount(3), new Exact('-0.000001'))).toThrow(RangeError);
  });

  test('more at the strength of the account, also beyond what it holds', () => {
    expect(atStrengthOf(amount(3, '0.1', '0.2'), new Exact(6))).toEqual(amount(6, '0.2', '0.4'));
    expect(atStrengthOf(amount(3, '0.1', '0.2'), new Exact(1))).toEqual(amount(1, '0.033333', '0.066667'));
    expect(atStrengthOf(NOTHING, new Exact(5))).toEqual(amount(5));
  });

  test('the strength that the books imply', () => {
    expect(bookStrengthPercent(amount(200, 9, 1))).toBe(5);
    expect(bookStrengthPercent(amount(200))).toBe(0);
    expect(bookStrengthPercent(NOTHING)).toBeUndefined();
  });
});

const vector = (...rows: [string, number | string, number | string][]): Components =>
  new Map(rows.map(([origin, litres, lpa]) => [origin, { litres: new Exact(litres), lpa: new Exact(lpa) }]));

describe('components of uncertainty', () => {
  // 100 L at 5 %: the dip is unsure by 1 L (0.05 L of alcohol at 5 %), the strength by 0.1 % vol (0.1 L).
  const balance = amount(100, 4, 1);
  const whole = vector(['dip', 1, '0.05'], ['strength', 0, '0.1']);

  test('what is counted out is as sure as its strength; the dip stays with the rest', () => {
    const expected = [['strength', '0', '0.025']];
    expect(componentRows(countedComponents(whole, balance, new Exact(25)))).toEqual(expected);
    expect(componentRows(drawnComponents(whole, balance, new Exact(25)))).toEqual(expected);
    expect(componentRows(withoutComponents(whole, drawnComponents(whole, balance, new Exact(25))))).toEqual([
      ['dip', '1', '0.05'],
      ['strength', '0', '0.075'],
    ]);
  });

  test('the last draw takes all of it, with the dip', () => {
    expect(componentRows(drawnComponents(whole, balance, new Exact(100)))).toEqual(componentRows(whole));
    expect(componentRows(countedComponents(whole, balance, new Exact(100)))).toEqual([['strength', '0', '0.1']]);
  });

  test('an origin of litres without alcohol is unsure of the strength', () => {
    // 1 L more of water in 100 L at 5 %: the 5 L are in 101 L, so 0.05 L of alcohol less in what is drawn as 100 L.
    expect(componentRows(countedComponents(vector(['dip', 1, 0]), balance, new Exact(50)))).toEqual([
      ['dip', '0', '-0.025'],
    ]);
  });

  test('of an empty account nothing is counted out', () => {
    expect(componentRows(countedComponents(whole, NOTHING, new Exact(5)))).toEqual([]);
  });

  test('vectors add linearly by origin; a total is the root of the sum of squares', () => {
    const sum = combined(vector(['a', 1, 2], ['b', 3, 0]), vector(['a', -1, 1], ['c', 0, 4]));
    expect(componentRows(sum)).toEqual([
      ['a', '0', '3'],
      ['b', '3', '0'],
      ['c', '0', '4'],
    ]);
    expect(rootSumSquare(sum, 'lpa')).toBe(5);
    expect(rootSumSquare(sum, 'litres')).toBe(3);
    expect(rootSumSquare(new Map(), 'litres')).toBe(0);
  });

  test('rows are in the order of their origins, without those that cancelled out', () => {
    expect(componentRows(vector(['b', 1, 0], ['a', 0, 1], ['c', 0, 0]))).toEqual([
      ['a', '0', '1'],
      ['b', '1', '0'],
    ]);
  });

  test('a double is kept to twelve places, half-even; what is no number is nothing', () => {
    expect(componentOf(0.1).toFixed()).toBe('0.1');
    expect(componentOf(1e-12).toFixed()).toBe('0.000000000001');
    expect(componentOf(2.5e-12).toFixed()).toBe('0.000000000002');
    expect(componentOf(NaN).toFixed()).toBe('0');
    expect(componentOf(Infinity).toFixed()).toBe('0');
  });

  test('what a volume is unsure by has no alcohol yet', () => {
    const twice: [string, number][] = [
      ['dip', 0.5],
      ['dip', 0.25],
      ['temperature', -0.1],
    ];
    expect(componentRows(volumeComponents(twice))).toEqual([
      ['dip', '0.75', '0'],
      ['temperature', '-0.1', '0'],
    ]);
  });

  test('a strength found: its own contributions over the litres, and the litres’ at that strength', () => {
    // 100 L ± 1 L at 5 %: 0.05 L of alcohol by the dip; ± 0.2 % vol in 100 L is 0.2 L. What stood there of the old strength is replaced.
    const found = strengthComponents(vector(['dip', 1, '0.9'], ['old', 0, '0.3']), new Exact(100), 5, [
      ['hydrometer', 0.2],
      ['dip', -0.1],
    ]);
    expect(componentRows(found)).toEqual([
      ['dip', '1', '-0.05'],
      ['hydrometer', '0', '0.2'],
    ]);
  });
});

describe('reconciliation', () => {
  const row = { litres: '1', fermented: '0.1', added: '0.2', expandedLitres: '0.3', expandedLpa: '0.4' };

  test('a figure of the sums', () => {
    const figure = figureOf(row);
    expect(figure.amount).toEqual(amount(1, '0.1', '0.2'));
    expect([figure.expandedLitres.toFixed(), figure.expandedLpa.toFixed()]).toEqual(['0.3', '0.4']);
    expect(NO_FIGURE.amount).toEqual(NOTHING);
  });

  test.each([
    ['to the last decimal', amount('7.5', '0.7', '0.1'), '0', true],
    ['not in litres', amount('7.500001', '0.7', '0.1'), '0.000001', false],
    ['not in fermented alcohol', amount('7.5', '0.700001', '0.1'), '0', false],
    ['not in added alcohol', amount('7.5', '0.7', '0.100001'), '0', false],
    ['not where one alcohol makes up for the other', amount('7.5', '0.6', '0.2'), '0', false],
  ])('opening 10 L and flows of −2.5 L: %s', (_, closing, litres, balances) => {
    const sums = reconcile(amount(10, '0.8', '0.3'), amount('-2.5', '-0.1', '-0.2'), closing);
    expect([sums.balances, sums.difference.litres.toFixed()]).toEqual([balances, litres]);
    expect([sums.opening.litres, sums.flows.litres].map(Number)).toEqual([10, -2.5]);
  });
});
