import { amount } from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import { combined, rootSumSquare, volumeComponents } from '../../src/ledger/books/components.js';
import { Exact } from '../../src/metrology/decimals.js';
import { checkedFills, fillComponents } from '../../src/production/operations/packaging/fills.js';
import type { Run, RunSheet } from '../../src/production/operations/packaging/run-sheet.js';
import { runSheet } from '../../src/production/operations/packaging/run-sheet.js';

// Four fills of 496, 500, 500 and 504 mL: mean 500 mL, s = √(32/3) mL = 3.266 mL, so that the mean is known to s/√4 = 1.633 mL (JCGM 100 4.2.3). Over
// 1,000 bottles that is 1.633 L, at 5 % vol 0.0816 L of pure alcohol.
const FILLS_U = Math.sqrt(32 / 3) / 2;
const balance = amount(520, 26);
const gauge: Components = volumeComponents([['gauge', 0.5]]);
const nominal = new Exact('0.5');
const { meanFillLitres, check } = checkedFills({ values: [496, 500, 500, 504], unit: 'mL' }, nominal);
const fills = fillComponents(check, 1000, balance, 'operation/x');

const runOf = (change: Partial<Run>): RunSheet =>
  runSheet(
    {
      nominalLitres: nominal,
      count: 1000,
      meanFillLitres,
      lossLitres: undefined,
      emptied: false,
      reasonCode: undefined,
      ...change,
    },
    balance,
    gauge,
    fills,
  );
const ofFills = (components: Components): number => components.get('operation/x/fills')?.litres.toNumber() ?? 0;

test('the u of the mean fill is that of the sample', () => {
  const [[origin, each]] = [...fills];
  expect(origin).toBe('operation/x/fills');
  expect(each.litres.toNumber()).toBeCloseTo(FILLS_U, 9);
  expect(each.lpa.toNumber()).toBeCloseTo(0.05 * FILLS_U, 9);
});

test('of an emptied vessel the loss is as unsure as gauge and fills', () => {
  const { packed, fillDifference, loss } = runOf({ emptied: true });
  expect(loss.amount.litres.toNumber()).toBe(20);
  expect(rootSumSquare(loss.components, 'litres')).toBeCloseTo(Math.hypot(0.5, FILLS_U), 9);
  expect(ofFills(loss.components)).toBeCloseTo(-FILLS_U, 9);
  expect(ofFills(fillDifference.components)).toBeCloseTo(FILLS_U, 9);
  // Counted at the nominal volume.
  expect(rootSumSquare(packed.components, 'litres')).toBe(0);
});

test('of a vessel with a rest the rest has it, and a measured loss does not', () => {
  const sheet = runOf({ lossLitres: new Exact(2) });
  const { packed, fillDifference, loss } = sheet;
  expect(ofFills(loss.components)).toBe(0);
  // What left the vessel carries it once.
  const left = combined(packed.components, fillDifference.components, loss.components);
  expect(ofFills(left)).toBeCloseTo(FILLS_U, 9);
});

test('without fills nothing is added', () => {
  const sheet = runSheet(
    {
      nominalLitres: nominal,
      count: 1000,
      meanFillLitres,
      lossLitres: undefined,
      emptied: true,
      reasonCode: undefined,
    },
    balance,
    gauge,
  );
  expect(rootSumSquare(sheet.fillDifference.components, 'litres')).toBe(0);
});
