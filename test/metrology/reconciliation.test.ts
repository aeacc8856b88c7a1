import { reconcile, type Balance, type MeasuredQuantity, type Suspect } from '../../src/metrology/reconciliation.js';
import { NormalDice } from '../support/normal-dice.js';
import { refusalOf } from '../support/refusal.js';

const measured = (name: string, value: number, u = 1): MeasuredQuantity => ({
  name,
  value,
  components: new Map([[name, u]]),
});
const balance = (name: string, terms: Record<string, number>): Balance => ({
  name,
  terms: Object.entries(terms).map(([quantity, coefficient]) => ({ quantity, coefficient })),
});

/** The heat exchanger with a bypass: six flows of variance one, four nodes. */
const NODES = [
  balance('splitter', { '1': 1, '2': -1, '3': -1 }),
  balance('exchanger', { '2': 1, '4': -1 }),
  balance('bypass', { '3': 1, '5': -1 }),
  balance('mixer', { '4': 1, '5': 1, '6': -1 }),
];
const flows = (values: readonly number[]): MeasuredQuantity[] =>
  values.map((value, i) => measured(String(i + 1), value));
const eachFlow: Suspect[] = [1, 2, 3, 4, 5, 6].map((flow) => ({
  name: String(flow),
  effects: new Map([[String(flow), 1]]),
}));

test('flow reconciliation of a heat exchanger with bypass, Narasimhan and Jordache 2000, Table 1-1', () => {
  // Measured and reconciled values as printed (from memory; the normal equations by hand give 64.50 and 35.72).
  const { quantities, globalTest } = reconcile(flows([101.91, 64.45, 34.65, 64.2, 36.44, 98.88]), NODES);
  [100.22, 64.5, 35.72, 64.5, 35.72, 100.22].forEach((printed, i) =>
    expect(quantities[i].adjusted).toBeCloseTo(printed, 2),
  );
  expect(globalTest).toMatchObject({ degreesOfFreedom: 4, fits: true });
});

test('the same with an error of 4 in flow 2: global test 16.674, the node before and the flow are named', () => {
  // Narasimhan and Jordache 2000, example 7-1 (from memory): statistic 16.674 above chi-squared 9.488; nodal test of node 2 above 2.49.
  const { globalTest, balances, found } = reconcile(flows([101.91, 68.45, 34.65, 64.2, 36.44, 98.88]), NODES, eachFlow);
  expect(globalTest.chiSquared).toBeCloseTo(16.674, 3);
  expect(globalTest.fits).toBe(false);
  expect(balances.map(({ fits }) => fits)).toEqual([true, false, true, true]);
  expect(balances[1].z).toBeCloseTo(4.25 / Math.SQRT2, 10);
  expect(found?.name).toBe('2');
  // The error that makes the rest agree best, by hand from the other five flows: x2 is then 4 + 5's estimate.
  const without2 = reconcile(
    flows([101.91, 0, 34.65, 64.2, 36.44, 98.88]).filter(({ name }) => name !== '2'),
    NODES,
  );
  const adjusted4 = without2.quantities.find(({ name }) => name === '4')?.adjusted ?? NaN;
  expect(found?.error).toBeCloseTo(68.45 - adjusted4, 10);
});

test('adjusted values are never less certain, and their balances hold', () => {
  const { quantities } = reconcile(flows([101.91, 64.45, 34.65, 64.2, 36.44, 98.88]), NODES);
  const at = (i: number): number => quantities[i - 1].adjusted;
  expect(at(1) - at(2) - at(3)).toBeCloseTo(0, 12);
  expect(at(4) + at(5) - at(6)).toBeCloseTo(0, 12);
  for (const { standardMeasured, standardAdjusted } of quantities) {
    expect(standardAdjusted).toBeLessThan(standardMeasured);
  }
  // By hand: two independent unknowns; the variance of flow 2 is the first element of the inverse of [[4, 2], [2, 4]], 1/3.
  expect(quantities[1].standardAdjusted).toBeCloseTo(Math.sqrt(1 / 3), 12);
});

test('a quantity that is not measured is taken out; its balances are tested where they can be', () => {
  // Without flows 4 and 5 only 1 = 2 + 3 and 1 = 6 can be checked.
  const { globalTest, balances } = reconcile(
    [measured('1', 101.91), measured('2', 64.45), measured('3', 34.65), measured('6', 98.88)],
    NODES,
  );
  expect(globalTest.degreesOfFreedom).toBe(2);
  expect(balances.map(({ z }) => z === null)).toEqual([false, true, true, true]);
  expect(refusalOf(() => reconcile([measured('1', 1)], [NODES[3]])).rule).toBe('contradictory');
});

test('what cannot be used is refused', () => {
  expect(refusalOf(() => reconcile([], NODES)).rule).toBe('too-few');
  expect(refusalOf(() => reconcile([measured('1', 1), measured('1', 1)], NODES)).rule).toBe('contradictory');
  expect(refusalOf(() => reconcile([measured('1', NaN)], NODES)).rule).toBe('not-finite');
  expect(refusalOf(() => reconcile(flows([1, 1, 1, 1, 1, 1]), [])).rule).toBe('too-few');
});

describe('1,000 cellars with three meters', () => {
  /** Vessels with a level gauge each; liquid moves through one of three meters, each used several times. */
  function cellar(dice: NormalDice, faulty: number | null): ReturnType<typeof reconcile> {
    const vessels = dice.whole(5, 8);
    const meters = ['meter A', 'meter B', 'meter C'];
    const quantities: MeasuredQuantity[] = [];
    const terms = Array.from({ length: vessels }, (): Record<string, number> => ({}));
    const effects = new Map<string, Map<string, number>>();
    const change = new Array<number>(vessels).fill(0);
    const calibrations = meters.map(() => dice.normal(0, 0.002));
    for (let i = 0; i < 3 * vessels; i += 1) {
      const from = dice.whole(0, vessels - 1);
      const to = (from + dice.whole(1, vessels - 1)) % vessels;
      const meter = i % 3;
      const litres = dice.uniform(300, 900);
      const read = litres * (1 + calibrations[meter] + (meter === faulty ? 0.03 : 0)) + dice.normal(0, 0.003 * litres);
      const name = `transfer ${i}`;
      quantities.push({
        name,
        value: read,
        components: new Map([
          [meters[meter], 0.002 * read],
          [name, 0.003 * read],
        ]),
      });
      effects.set(meters[meter], (effects.get(meters[meter]) ?? new Map<string, number>()).set(name, read));
      terms[from][name] = -1;
      terms[to][name] = 1;
      change[from] -= litres;
      change[to] += litres;
    }
    change.forEach((litres, vessel) => {
      const name = `gauge ${vessel}`;
      quantities.push(measured(name, litres + dice.normal(0, 4), 4));
      terms[vessel][name] = -1;
      effects.set(name, new Map([[name, 1]]));
    });
    const suspects = [...effects].map(([name, one]) => ({ name, effects: one }));
    return reconcile(
      quantities,
      terms.map((one, vessel) => balance(`vessel ${vessel}`, one)),
      suspects,
    );
  }

  test('without a fault at most 5 % of alarms, within three standard deviations of a binomial', () => {
    const dice = new NormalDice(20_001);
    let alarms = 0;
    for (let i = 0; i < 1000; i += 1) if (cellar(dice, null).found !== null) alarms += 1;
    expect(alarms).toBeLessThanOrEqual(50);
  });

  test('a meter that reads 3 % high is named in at least 90 %, with its error', () => {
    const dice = new NormalDice(20_002);
    let named = 0;
    let covered = 0;
    for (let i = 0; i < 1000; i += 1) {
      const { found } = cellar(dice, 1);
      if (found?.name !== 'meter B') continue;
      named += 1;
      // The error is relative to what was read: 0.03 of what flowed.
      if (Math.abs(found.error - 0.03 / 1.03) <= 2.5758 * found.standard) covered += 1;
    }
    expect(named).toBeGreaterThanOrEqual(900);
    expect(covered / named).toBeGreaterThan(0.97);
  });
});
