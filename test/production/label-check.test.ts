import { amount } from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import { NO_COMPONENTS } from '../../src/ledger/books/components.js';
import { Exact } from '../../src/metrology/decimals.js';
import {
  bookStrength,
  checkLabel,
  strengthUncertaintyPercent,
} from '../../src/production/shared/labels/label-check.js';

// Tolerance of 0.3 % vol on both sides, risk 5 %. The limits with a guard band: 0.3 % vol less 1.645 u (JCGM 106:2012, 8.3.3; normal quantile).

type Settings = Parameters<typeof checkLabel>[2];
const SETTINGS: Settings = { labelTolerance: { value: 0.3, unit: '%' }, allowedRisk: 0.05 };

const vector = (rows: [string, number, number][]): Components =>
  new Map(rows.map(([origin, litres, lpa]) => [origin, { litres: new Exact(litres), lpa: new Exact(lpa) }]));

test('the strength alone is uncertain: litres that are not sure take their alcohol with them', () => {
  const hundred = amount(100, 4, 1);
  expect(strengthUncertaintyPercent(hundred, NO_COMPONENTS)).toBe(0);
  // 2 L too much at 5 % are 0.1 L of alcohol too much: the strength stays.
  expect(strengthUncertaintyPercent(hundred, vector([['dip', 2, 0.1]]))).toBe(0);
  // The same litres with no alcohol: the strength is off by 0.1 L in 100 L.
  expect(strengthUncertaintyPercent(hundred, vector([['dip', 2, 0]]))).toBeCloseTo(0.1, 12);
  const two = vector([
    ['strength', 0, 0.3],
    ['residue', 0, -0.4],
  ]);
  expect(strengthUncertaintyPercent(hundred, two)).toBeCloseTo(0.5, 12);
  expect(strengthUncertaintyPercent(amount(50, 2.5), two)).toBeCloseTo(1, 12);
});

test.each([
  ['as declared', '5', 5, 'conforms'],
  ['within the guard band above', '5.13', 5, 'conforms'],
  ['beyond it', '5.14', 5, 'cannot-tell'],
  ['within the guard band below', '4.87', 5, 'conforms'],
  ['beyond it, below', '4.86', 5, 'cannot-tell'],
  ['at the limit', '5.3', 5, 'cannot-tell'],
  ['beyond the limit by less than 1.645 u', '5.46', 5, 'cannot-tell'],
  ['beyond the limit by more', '5.47', 5, 'does-not-conform'],
  ['far too weak', '4.5', 5, 'does-not-conform'],
])('u = 0.1 %% vol, %s: %s against %s', (_, alcohol, declared, decision) => {
  const check = checkLabel(bookStrength(amount(100, alcohol), vector([['strength', 0, 0.1]])), declared, SETTINGS);
  expect(check).toMatchObject({ decision, measured: { value: Number(alcohol), unit: '%' }, tolerance: { value: 0.3 } });
});

test('without any uncertainty the tolerance itself decides', () => {
  const decisionOf = (alcohol: string) =>
    checkLabel(bookStrength(amount(100, alcohol), NO_COMPONENTS), 5, SETTINGS).decision;
  expect(['4.6999', '4.7001', '5.2999', '5.3001'].map(decisionOf)).toEqual([
    'does-not-conform',
    'conforms',
    'conforms',
    'does-not-conform',
  ]);
});

test('both kinds of alcohol count, and the producer’s own tolerance and risk', () => {
  const check = (settings: Settings) =>
    checkLabel(bookStrength(amount(100, 3, '2.4'), vector([['strength', 0, 0.1]])), 5, settings);
  expect(check(SETTINGS).measured.value).toBeCloseTo(5.4, 12);
  expect(check(SETTINGS).decision).toBe('cannot-tell');
  expect(check({ ...SETTINGS, allowedRisk: 0.2 }).decision).toBe('does-not-conform');
  expect(check({ ...SETTINGS, labelTolerance: { value: 0.6, unit: '%' } })).toMatchObject({
    decision: 'conforms',
    tolerance: { value: 0.6, unit: '%' },
  });
});
