import { CholeskyDecomposition, EVD, Matrix } from 'ml-matrix';
import { MetrologyError, requireFinite } from './problem.js';

/** Signed contributions of one result by origin, in the unit of the result. */
export type Components = ReadonlyMap<string, number>;

/** A matrix whose smallest eigenvalue is below this part of its largest is singular but for rounding. */
const SINGULAR = 1e-12;

/** Covariance of two results: contributions of one origin are fully correlated, different origins are independent (JCGM 100 5.2). */
function covarianceOf(a: Components, b: Components): number {
  let sum = 0;
  for (const [origin, component] of a) sum += component * (b.get(origin) ?? 0);
  return sum;
}

/** Covariance matrix of results from their components by origin. */
export function covarianceMatrix(results: readonly { readonly components: Components }[]): Matrix {
  for (const { components } of results) {
    for (const [origin, component] of components) requireFinite(origin, component);
  }
  return new Matrix(results.map((row) => results.map((column) => covarianceOf(row.components, column.components))));
}

/**
 * Inverse of a covariance matrix.
 *
 * @throws MetrologyError `contradictory` where the matrix is singular: a difference of two of the results would have no uncertainty.
 */
export function inverseOf(covariance: Matrix, pointer: string): Matrix {
  const scaled = scaledToOne(covariance, pointer);
  const { realEigenvalues } = new EVD(scaled.matrix, { assumeSymmetric: true });
  if (Math.min(...realEigenvalues) <= SINGULAR * Math.max(...realEigenvalues)) {
    throw new MetrologyError(
      'contradictory',
      `${pointer}: two of them rest on the same measurements alone, so that their difference has no uncertainty.`,
      { pointer },
    );
  }
  const inverse = new CholeskyDecomposition(scaled.matrix).solve(Matrix.eye(covariance.rows));
  return Matrix.mul(inverse, outer(scaled.scales.map((scale) => 1 / scale)));
}

/** The correlation matrix and the standard uncertainties: so that quantities of different size do not look singular. */
function scaledToOne(covariance: Matrix, pointer: string): { matrix: Matrix; scales: number[] } {
  const scales = covariance.diagonal().map(Math.sqrt);
  if (scales.some((scale) => !(scale > 0))) {
    throw new MetrologyError('out-of-range', `${pointer}: each needs an uncertainty above zero.`, { pointer });
  }
  const matrix = Matrix.div(covariance, outer(scales));
  // Products of matrices are symmetric to rounding only.
  return { matrix: Matrix.add(matrix, matrix.transpose()).div(2), scales };
}

function outer(values: readonly number[]): Matrix {
  return new Matrix(values.map((row) => values.map((column) => row * column)));
}
