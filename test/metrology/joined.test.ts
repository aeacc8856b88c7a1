import { joinEstimates, type Estimate } from '../../src/metrology/joined.js';
import { refusalOf } from '../support/refusal.js';

/** An estimate whose covariance with others comes from the rows of a Cholesky factor: column j is origin j. */
function fromFactor(values: readonly number[], factor: readonly (readonly number[])[]): Estimate[] {
  return values.map((value, i) => ({
    name: `estimate ${i + 1}`,
    value,
    components: new Map(factor[i].map((component, j) => [`origin ${j}`, component])),
  }));
}

function choleskyOf(matrix: readonly (readonly number[])[]): number[][] {
  const rows = matrix.map((row) => row.map(() => 0));
  for (let i = 0; i < matrix.length; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      let rest = matrix[i][j];
      for (let k = 0; k < j; k += 1) rest -= rows[i][k] * rows[j][k];
      rows[i][j] = i === j ? Math.sqrt(rest) : rest / rows[j][j];
    }
  }
  return rows;
}

const alone = (name: string, value: number, u: number): Estimate => ({
  name,
  value,
  components: new Map([[name, u]]),
});

test('four charm lifetimes with covariances, Lyons, Gibaut and Clifford 1988, eq. 17′', () => {
  // Values and matrix as published (seen); weights, mean and deviation as printed there (from memory; the matrix gives them again).
  const joined = joinEstimates(
    fromFactor(
      [9.5, 11.9, 11.1, 8.9],
      choleskyOf([
        [2.74, 1.15, 0.86, 1.31],
        [1.15, 1.67, 0.82, 1.32],
        [0.86, 0.82, 2.12, 1.05],
        [1.31, 1.32, 1.05, 2.93],
      ]),
    ),
  );
  expect(joined.value).toBeCloseTo(11.16, 2);
  expect(joined.standard).toBeCloseTo(1.13, 2);
  [0.145, 0.47, 0.347, 0.038].forEach((weight, i) => expect(joined.members[i].weight).toBeCloseTo(weight, 3));
});

test('independent results: the weighted mean, its chi-squared and the deviations of Cox 2002, procedure A', () => {
  // By hand: weights 25, 100, 4; sum 129; mean (25 × 5.2 + 100 × 5.0 + 4 × 5.9)/129 = 653.6/129.
  const joined = joinEstimates([alone('a', 5.2, 0.2), alone('b', 5.0, 0.1), alone('c', 5.9, 0.5)]);
  const mean = 653.6 / 129;
  expect(joined.value).toBeCloseTo(mean, 12);
  expect(joined.standard).toBeCloseTo(1 / Math.sqrt(129), 12);
  const chiSquared = 25 * (5.2 - mean) ** 2 + 100 * (5 - mean) ** 2 + 4 * (5.9 - mean) ** 2;
  expect(joined.chiSquared).toBeCloseTo(chiSquared, 10);
  // Two degrees of freedom: the probability is exp(−χ²/2) exactly.
  expect(joined.probability).toBeCloseTo(Math.exp(-chiSquared / 2), 12);
  expect(joined).toMatchObject({ degreesOfFreedom: 2, consistent: true, misfit: null });
  // Cox: u²(d) = u²(x) − u²(mean).
  expect(joined.members[1].standardOfDeviation).toBeCloseTo(Math.sqrt(0.01 - 1 / 129), 12);
});

test('what does not fit is named, from three results on', () => {
  const good = [alone('mass balance', 5.02, 0.07), alone('density', 4.98, 0.05)];
  const three = joinEstimates([...good, alone('certificate', 5.9, 0.06)]);
  expect(three).toMatchObject({ consistent: false, misfit: 'certificate' });
  expect(three.members.find(({ name }) => name === 'certificate')?.en).toBeGreaterThan(1);
  expect(joinEstimates([good[0], alone('certificate', 5.9, 0.06)])).toMatchObject({
    consistent: false,
    misfit: null,
  });
});

test('a shared error does not average away, and stays on its origin', () => {
  const shared = (name: string, value: number): Estimate => ({
    name,
    value,
    components: new Map([
      ['hydrometer', 0.1],
      [name, 0.1],
    ]),
  });
  const joined = joinEstimates([shared('a', 5), shared('b', 5.1)]);
  // By hand: half of each; √(0.1² + 2 × 0.05²).
  expect(joined.standard).toBeCloseTo(Math.sqrt(0.015), 12);
  expect(joined.components.get('hydrometer')).toBeCloseTo(0.1, 12);
  expect(joined.components.get('a')).toBeCloseTo(0.05, 12);
});

test('two that rest on the same measurements, one alone, and one without uncertainty are refused', () => {
  const same = (name: string, value: number): Estimate => ({ name, value, components: new Map([['reading', 0.1]]) });
  expect(refusalOf(() => joinEstimates([same('a', 5), same('b', 5.1)])).rule).toBe('contradictory');
  expect(refusalOf(() => joinEstimates([same('a', 5)])).rule).toBe('too-few');
  expect(refusalOf(() => joinEstimates([same('a', 5), alone('b', 5, 0)])).rule).toBe('out-of-range');
  expect(refusalOf(() => joinEstimates([same('a', NaN), alone('b', 5, 1)])).rule).toBe('not-finite');
});
