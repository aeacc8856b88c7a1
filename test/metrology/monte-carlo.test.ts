import fc from 'fast-check';
import {
  compareWithFirstOrder,
  monteCarlo,
  type MonteCarloOptions,
  type MonteCarloResult,
} from '../../src/metrology/monte-carlo.js';
import { MetrologyError } from '../../src/metrology/problem.js';
import { propagate, type Distribution, type InputQuantity } from '../../src/metrology/uncertainty.js';
import { refusalOf } from '../support/refusal.js';

function input(
  name: string,
  distribution: Distribution,
  value: number,
  standardUncertainty: number,
  degreesOfFreedom?: number,
): InputQuantity {
  return { name, value, standardUncertainty, distribution, origin: name, degreesOfFreedom };
}

const sum = (x: Float64Array): number => x.reduce((total, value) => total + value, 0);

describe('draws', () => {
  const options = (overrides: Partial<MonteCarloOptions>): MonteCarloOptions => ({
    inputs: [input('x', 'normal', 1, 0.1)],
    evaluate: sum,
    seed: 42,
    draws: 20_000,
    ...overrides,
  });
  const run = (overrides: Partial<MonteCarloOptions>): MonteCarloResult => monteCarlo(options(overrides));

  test.each<[Distribution, number, number]>([
    ['normal', 1, 1.959964],
    ['rectangular', 1, 0.95 * Math.sqrt(3)],
    ['triangular', 1, Math.sqrt(6) * (1 - Math.sqrt(0.05))],
    ['u-shaped', 1, Math.SQRT2 * Math.sin(Math.PI * 0.475)],
    ['student', Math.sqrt(10 / 8), 2.228139],
  ])('%s: standard deviation and symmetric interval as the distribution has them', (distribution, standard, half) => {
    const result = run({ inputs: [input('x', distribution, 0, 1, 10)], draws: 200_000 });
    expect(Math.abs(result.mean)).toBeLessThan(4 * (standard / Math.sqrt(200_000)));
    expect(result.standard).toBeCloseTo(standard, 1.7);
    // Four times the scatter of an endpoint of a t law with ten degrees of freedom.
    expect(Math.abs(result.symmetric[0] + half)).toBeLessThan(0.04);
    expect(Math.abs(result.symmetric[1] - half)).toBeLessThan(0.04);
    expect(result.shortest[1] - result.shortest[0]).toBeLessThanOrEqual(result.symmetric[1] - result.symmetric[0]);
  });

  test('the same seed gives the same answer, another seed another', () => {
    expect(run({})).toEqual(run({}));
    expect(run({ seed: 43 }).mean).not.toBe(run({}).mean);
    expect(run({}).mean).not.toBe(run({ seed: 0 }).mean);
  });

  test('one origin, one deviate: x − x does not scatter, across distributions both rise together', () => {
    const shared = (distribution: Distribution): InputQuantity => ({
      ...input(distribution, distribution, 0, 1, 6),
      origin: 'shared',
    });
    for (const distribution of ['normal', 'rectangular', 'triangular', 'u-shaped', 'student'] as const) {
      const twice = run({ inputs: [shared(distribution), shared(distribution)], evaluate: ([a, b]) => a - b });
      expect([twice.mean, twice.standard]).toEqual([0, 0]);
      const pair = run({
        inputs: [shared('student'), shared(distribution)],
        evaluate: ([a, b]) => (Math.sign(a) === Math.sign(b) ? 0 : 1),
      });
      expect(pair.mean).toBe(0);
    }
    const independent = run({
      inputs: [input('a', 'normal', 0, 1), input('b', 'normal', 0, 1)],
      evaluate: ([a, b]) => a - b,
    });
    expect(Math.abs(independent.standard - Math.SQRT2)).toBeLessThan(0.03);
  });

  test('correlated normal inputs scatter as the law of propagation says', () => {
    fc.assert(
      fc.property(fc.double({ min: -1, max: 1, noNaN: true }), (r) => {
        const inputs = [input('a', 'normal', 0, 1), input('b', 'normal', 0, 2), input('c', 'rectangular', 0, 1)];
        const correlation = [
          [1, r, 0],
          [r, 1, 0],
          [0, 0, 1],
        ];
        const result = run({ inputs, correlation, draws: 50_000 });
        const { standard } = propagate(0, inputs, [1, 1, 1], { correlation });
        expect(Math.abs(result.standard / standard - 1)).toBeLessThan(0.02);
      }),
      { numRuns: 10 },
    );
  });

  test('for a linear model of normal inputs the law of propagation is confirmed', () => {
    const inputs = [input('a', 'normal', 3, 0.3), input('b', 'normal', 4, 0.4)];
    expect(compareWithFirstOrder(propagate(7, inputs, [1, 1]), run({ inputs })).confirmsFirstOrder).toBe(true);
  });

  test('draws at which the model has no answer are counted, too many refused', () => {
    const refusing = (limit: number) => (x: Float64Array) => {
      if (x[0] > limit) throw new MetrologyError('out-of-range', 'beyond the range of the model');
      return x[0];
    };
    const result = run({ evaluate: refusing(1.3) });
    expect(result.rejected).toBeGreaterThan(0);
    expect(result.symmetric[1]).toBeLessThan(1.3);
    expect(refusalOf(() => run({ evaluate: refusing(1.1) })).rule).toBe('no-solution');
    expect(refusalOf(() => run({ evaluate: () => NaN })).rule).toBe('no-solution');
    expect(() =>
      run({
        evaluate: () => {
          throw new TypeError('a bug');
        },
      }),
    ).toThrow(TypeError);
  });

  test('refusals', () => {
    const two = [input('a', 'normal', 0, 1), input('b', 'rectangular', 0, 1)];
    expect(refusalOf(() => run({ draws: 1_000_001 })).rule).toBe('too-many');
    expect(refusalOf(() => run({ draws: 999 })).rule).toBe('too-few');
    expect(refusalOf(() => run({ draws: 1000.5 })).rule).toBe('not-whole');
    expect(refusalOf(() => run({ seed: -1 })).rule).toBe('too-few');
    expect(refusalOf(() => run({ seed: NaN })).rule).toBe('not-whole');
    expect(refusalOf(() => run({ inputs: [] })).rule).toBe('empty-budget');
    expect(refusalOf(() => run({ inputs: [input('x', 'normal', 0, -1)] })).rule).toBe('negative-uncertainty');
    expect(refusalOf(() => run({ coverageProbability: 1 })).rule).toBe('out-of-range');
    expect(
      refusalOf(() =>
        run({
          inputs: two,
          correlation: [
            [1, 0.5],
            [0.5, 1],
          ],
        }),
      ).rule,
    ).toBe('correlation-needs-normal');
    expect(
      refusalOf(() =>
        run({
          inputs: two,
          correlation: [
            [1, 0.5],
            [0.4, 1],
          ],
        }),
      ).rule,
    ).toBe('contradictory');
    expect(refusalOf(() => compareWithFirstOrder({ value: 0, standard: 0, expanded: 0 }, run({}))).rule).toBe(
      'contradictory',
    );
  });
});
