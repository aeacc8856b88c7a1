import type { Amount } from '../../src/ledger/books/amount.js';
import { amount } from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import { NO_COMPONENTS } from '../../src/ledger/books/components.js';
import { Exact } from '../../src/metrology/decimals.js';
import { ProblemException } from '../../src/platform/problems/problem.exception.js';
import type { Run } from '../../src/production/operations/packaging/run-sheet.js';
import { runSheet } from '../../src/production/operations/packaging/run-sheet.js';

// 100 L at 5 % in the vessel. More packed than gauged: within U it is taken, up to 5 % with a reason (common practice, no source), beyond not.

const BALANCE = amount(100, 5);
const unsure = (litres: string): Components => new Map([['dip', { litres: new Exact(litres), lpa: new Exact(0) }]]);

const run = (litres: string, more: Partial<Run> = {}): Run => ({
  nominalLitres: new Exact(1),
  count: 1,
  meanFillLitres: new Exact(litres),
  lossLitres: undefined,
  emptied: true,
  reasonCode: undefined,
  ...more,
});

/** The code of the refusal, or the litres that were gained. */
function outcome(given: Run, balance: Amount = BALANCE, components: Components = NO_COMPONENTS): string {
  try {
    return runSheet(given, balance, components).gain.amount.litres.toFixed();
  } catch (error) {
    if (error instanceof ProblemException) {
      return error.code;
    }
    throw error;
  }
}

test.each([
  ['all of it', '100', undefined, '0'],
  ['a millionth more, without a reason', '100.000001', undefined, 'packing-exceeds-gauge'],
  ['a millionth more, with one', '100.000001', 'recounted', '0.000001'],
  ['5 % more, without a reason', '105', undefined, 'packing-exceeds-gauge'],
  ['5 % more, with one', '105', 'recounted', '5'],
  ['a millionth beyond 5 %, with one', '105.000001', 'recounted', 'insufficient-stock'],
  ['50 % more, with one', '150', 'recounted', 'insufficient-stock'],
  ['50 % more, without one', '150', undefined, 'insufficient-stock'],
])('%s', (_, litres, reasonCode, expected) => {
  expect(outcome(run(litres, { reasonCode }))).toBe(expected);
});

test.each([
  // U = 1.959964 × 2 L = 3.919928 L, of which the last place is rounded up.
  ['within U', '103.919927', '2', '3.919927'],
  ['a millionth beyond U', '103.919928', '2', 'packing-exceeds-gauge'],
  // U = 1.959964 × 10 L: a gauge so bad that 15 % more lies within it.
  ['beyond 5 %, within U', '115', '10', '15'],
])('without a reason: %s', (_, litres, standardUncertainty, expected) => {
  expect(outcome(run(litres), BALANCE, unsure(standardUncertainty))).toBe(expected);
});

test('a measured loss counts with what was packed', () => {
  const lossLitres = new Exact('5.000001');
  expect(outcome(run('100', { lossLitres, emptied: false, reasonCode: 'counting-error' }))).toBe('insufficient-stock');
  expect(outcome(run('99.000001', { lossLitres, emptied: false, reasonCode: 'counting-error' }))).toBe('4.000002');
});

test('what is gained has the strength of what was there, and goes with the run', () => {
  const sheet = runSheet(
    run('104', { nominalLitres: new Exact(104), reasonCode: 'counting-error' }),
    BALANCE,
    NO_COMPONENTS,
  );
  expect(sheet.gain.amount).toEqual(amount(4, '0.2'));
  expect(sheet.packed.amount).toEqual(amount(104, '5.2'));
  expect([sheet.loss.amount, sheet.fillDifference.amount].map(({ litres }) => litres.toNumber())).toEqual([0, 0]);
});

test('what is left in an emptied vessel is lost; what is left in one that was not stays', () => {
  const packed = { nominalLitres: new Exact('0.5'), count: 100, meanFillLitres: new Exact('0.51') };
  // 50 L in the bottles, 1 L too much in them, 49 L lost.
  const emptied = runSheet(run('0', packed), BALANCE, NO_COMPONENTS);
  expect(
    [emptied.packed, emptied.fillDifference, emptied.loss].map(({ amount: a }) => [a.litres, a.fermented].map(Number)),
  ).toEqual([
    [50, 2.5],
    [1, 0.05],
    [49, 2.45],
  ]);
  const kept = runSheet(run('0', { ...packed, emptied: false, lossLitres: new Exact(2) }), BALANCE, NO_COMPONENTS);
  expect(kept.loss.amount).toEqual(amount(2, '0.1'));
});

test('under-filled containers count as full: the difference is negative', () => {
  const packed = { nominalLitres: new Exact('0.5'), count: 100, meanFillLitres: new Exact('0.49'), emptied: false };
  const sheet = runSheet(run('0', { ...packed, lossLitres: new Exact(0) }), BALANCE, NO_COMPONENTS);
  expect(sheet.packed.amount).toEqual(amount(50, '2.5'));
  expect(sheet.fillDifference.amount).toEqual(amount(-1, '-0.05'));
});

test('the uncertainty of the gauge is the loss’s: what was counted is as sure as its strength', () => {
  const components: Components = new Map([
    ['dip', { litres: new Exact(1), lpa: new Exact('0.05') }],
    ['strength', { litres: new Exact(0), lpa: new Exact('0.1') }],
  ]);
  const packed = { nominalLitres: new Exact('0.5'), count: 100, meanFillLitres: new Exact('0.5') };
  const sheet = runSheet(run('0', packed), BALANCE, components);
  // By hand: half of the strength's 0.1 L goes with half of the litres; the dip's litre, and its 0.05 L of alcohol, is in the loss.
  const of = (vector: Components) =>
    [...vector].map(([origin, { litres, lpa }]) => [origin, litres.toNumber(), lpa.toNumber()]);
  expect(of(sheet.packed.components)).toEqual([
    ['dip', 0, 0],
    ['strength', 0, 0.05],
  ]);
  expect(of(sheet.loss.components)).toEqual([
    ['dip', 1, 0.05],
    ['strength', 0, 0.05],
  ]);
});
