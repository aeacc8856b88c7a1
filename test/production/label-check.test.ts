import { amount } from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import { NO_COMPONENTS } from '../../src/ledger/books/components.js';
import { Exact } from '../../src/metrology/decimals.js';
import { labelDoubt } from '../../src/production/measuring/packed/label-doubt.js';
import type { PackedStrength } from '../../src/production/measuring/packed/packed-strength.js';
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

// One limit or two unequal ones: JCGM 106:2012, 7.4 and 8.3.2. P of the standard normal distribution: Φ(2) = 0.97725, Φ(4/3) = 0.90879 (tables).
describe('labels with one limit or unequal ones', () => {
  const percent = (value: number) => ({ value, unit: '%' });
  const at = (strengthPercent: number, standardUncertainty: number, declared: number, settings: Partial<Settings>) =>
    checkLabel({ strengthPercent, standardUncertainty }, declared, { ...SETTINGS, ...settings });
  const atLeast: Partial<Settings> = { labelToleranceBelow: percent(0), labelOpenSide: 'above' };
  const notAbove: Partial<Settings> = { labelToleranceAbove: percent(0), labelOpenSide: 'below' };

  test('at least 37.5 % vol: what is stronger conforms, however much', () => {
    const check = at(37.62, 0.06, 37.5, atLeast);
    expect(check).toMatchObject({ decision: 'conforms', lowest: percent(37.5) });
    expect(check.probability).toBeCloseTo(0.97725, 5);
    expect(check).not.toHaveProperty('highest');
    expect(check).not.toHaveProperty('tolerance');
    expect(at(45, 0.06, 37.5, atLeast).decision).toBe('conforms');
    expect(at(37.55, 0.06, 37.5, atLeast).decision).toBe('cannot-tell');
    expect(at(37.3, 0.06, 37.5, atLeast).decision).toBe('does-not-conform');
  });

  test('not above 0.5 % vol: what is weaker conforms', () => {
    const check = at(0.46, 0.03, 0.5, notAbove);
    expect(check).toMatchObject({ decision: 'cannot-tell', highest: percent(0.5) });
    expect(check.probability).toBeCloseTo(0.90879, 5);
    expect(at(0.05, 0.03, 0.5, notAbove).decision).toBe('conforms');
    expect(at(0.6, 0.03, 0.5, notAbove).decision).toBe('does-not-conform');
  });

  test('0.2 % below and 0.5 % above', () => {
    const unequal: Partial<Settings> = { labelToleranceBelow: percent(0.2), labelToleranceAbove: percent(0.5) };
    expect(at(5.3, 0.05, 5, unequal)).toMatchObject({
      decision: 'conforms',
      lowest: percent(4.8),
      highest: percent(5.5),
    });
    expect(at(4.7, 0.05, 5, unequal).decision).toBe('does-not-conform');
    expect(at(5, 0.05, 5, { labelToleranceAbove: percent(0.3) })).toHaveProperty('tolerance', percent(0.3));
  });

  test('the doubt about packed goods names the side that has a limit', () => {
    const doubt = (strengthPercent: number, declared: number, settings: Partial<Settings>) =>
      labelDoubt({ strengthPercent, standardUncertainty: 0.05, expandedUncertainty: 0.1 } as PackedStrength, declared, {
        ...SETTINGS,
        ...settings,
      });
    expect(doubt(45, 37.5, atLeast)).toBeUndefined();
    expect(doubt(37.3, 37.5, atLeast)).toMatchObject({ code: 'label-does-not-hold' });
    expect(doubt(37.3, 37.5, atLeast)?.detail).toContain('beyond the tolerance of 0.00 % below');
    expect(doubt(0.45, 0.5, notAbove)).toMatchObject({ code: 'label-in-doubt' });
    expect(doubt(0.1, 0.5, notAbove)).toBeUndefined();
  });
});
