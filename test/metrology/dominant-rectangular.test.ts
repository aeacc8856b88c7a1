import { dominantRectangular, rectangularCoverageFactor } from '../../src/metrology/dominant-rectangular.js';
import { monteCarlo } from '../../src/metrology/monte-carlo.js';
import { propagate, type InputQuantity } from '../../src/metrology/uncertainty.js';
import { readReferenceJson } from '../support/reference-files.js';

const rectangular = (name: string, standardUncertainty: number): InputQuantity => ({
  name,
  value: 0,
  standardUncertainty,
  distribution: 'rectangular',
  origin: name,
});
const normal = (name: string, standardUncertainty: number): InputQuantity => ({
  name,
  value: 0,
  standardUncertainty,
  origin: name,
});

test('a rectangle alone has 0.95 √3, a normal rest alone 1.96', () => {
  // EA-4/02 S9 has k = 1.65 for a dominant rectangular input (from memory); JCGM 100 table G.2 has 1.960.
  expect(rectangularCoverageFactor(1).toFixed(2)).toBe('1.65');
  expect(rectangularCoverageFactor(0)).toBeCloseTo(1.96, 4);
  expect(rectangularCoverageFactor(1 - 1e-9)).toBeCloseTo(0.95 * Math.sqrt(3), 4);
  expect(rectangularCoverageFactor(1e-6)).toBeCloseTo(1.96, 3);
});

test('JCGM 101, 9.2.4: one rectangle of 10 beside three of 1 has ± 17.0, where 1.96 u has ± 19.9', () => {
  const { S1_9_2_4_dominant_rect: published } = readReferenceJson<{
    S1_9_2_4_dominant_rect: { interval95_MCM: [number, number]; interval95_GUF: [number, number] };
  }>('physics/gum-worked-examples.json');
  const inputs = [1, 1, 1, 10].map((u, i) => rectangular(`X${i + 1}`, u));
  const found = propagate(0, inputs, [1, 1, 1, 1]);
  expect(found.expanded.toFixed(1)).toBe(published.interval95_GUF[1].toFixed(1));
  const shaped = dominantRectangular(found);
  expect(shaped?.name).toBe('X4');
  expect(shaped?.expanded.toFixed(1)).toBe(published.interval95_MCM[1].toFixed(1));
});

test.each([0.5, 0.7, 0.9, 0.98])('at %f of the variance it covers 95 % of seeded draws', (share) => {
  const inputs = [rectangular('r', Math.sqrt(share)), normal('n', Math.sqrt(1 - share))];
  const draws = monteCarlo({ inputs, evaluate: (draw) => draw[0] + draw[1], seed: 7, draws: 200_000 });
  const [low, high] = draws.symmetric;
  // 200,000 draws leave about 0.3 % of the end of an interval.
  expect(rectangularCoverageFactor(share) / ((high - low) / 2)).toBeCloseTo(1, 2);
});

test('only a rectangle that stands alone, makes half of the variance and is not limited by degrees of freedom', () => {
  const of = (inputs: InputQuantity[]) =>
    dominantRectangular(
      propagate(
        0,
        inputs,
        inputs.map(() => 1),
      ),
    );
  expect(of([rectangular('r', 1), normal('n', 0.99)])).toMatchObject({ name: 'r' });
  expect(of([rectangular('r', 1), normal('n', 1.01)])).toBeUndefined();
  expect(of([normal('n', 1)])).toBeUndefined();
  expect(of([rectangular('r', 1), { ...rectangular('s', 0.1), origin: 'r' }])).toBeUndefined();
  expect(of([rectangular('r', 1), { ...normal('n', 0.2), degreesOfFreedom: 3 }])).toBeUndefined();
  expect(of([rectangular('r', 0)])).toBeUndefined();
});
