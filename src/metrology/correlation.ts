import { MetrologyError, requireCount, requireFinite } from './problem.js';

/** A matrix of correlation coefficients; rows and columns in the order of the inputs. */
export type CorrelationMatrix = readonly (readonly number[])[];

/** Largest number of inputs of a correlation matrix; the time of the check grows with its cube. */
export const MAXIMUM_CORRELATED_INPUTS = 100;

/**
 * Largest pivot of a singular matrix that is only rounding. Ignoring it changes a standard uncertainty by at most 1e-6 of its largest
 * contribution.
 */
const SEMI_DEFINITE_TOLERANCE = 1e-12;

/**
 * Checks a correlation matrix and factors it: R = L·Lᵀ, pivoted Cholesky, semi-definite matrices included (textbook method).
 *
 * @param matrix square, symmetric, unit diagonal, entries from −1 to 1, positive semi-definite within 1e-12; at most 100 inputs.
 * @param size number of inputs it has to fit.
 * @returns the rows of L, one for each input; inputs are L times independent standard deviates.
 * @throws MetrologyError `contradictory` (shape, symmetry, diagonal), `out-of-range`, `not-finite`, `too-many`,
 *   `not-positive-semi-definite`
 */
export function factorCorrelation(matrix: CorrelationMatrix, size: number): number[][] {
  checkShape(matrix, size);
  const rest = matrix.map((row) => [...row]);
  const factor = matrix.map(() => new Array<number>(size).fill(0));
  const open = new Set(matrix.keys());
  for (let step = 0; open.size > 0; step += 1) {
    let pivot = -1;
    for (const i of open) if (pivot < 0 || rest[i][i] > rest[pivot][pivot]) pivot = i;
    if (rest[pivot][pivot] <= SEMI_DEFINITE_TOLERANCE) {
      for (const i of open) {
        for (const j of open) {
          if (Math.abs(rest[i][j]) > SEMI_DEFINITE_TOLERANCE) refuseIndefinite();
        }
      }
      break;
    }
    open.delete(pivot);
    const root = Math.sqrt(rest[pivot][pivot]);
    factor[pivot][step] = root;
    for (const i of open) factor[i][step] = rest[i][pivot] / root;
    for (const i of open) for (const j of open) rest[i][j] -= factor[i][step] * factor[j][step];
  }
  return factor;
}

function refuseIndefinite(): never {
  throw new MetrologyError(
    'not-positive-semi-definite',
    'The correlation matrix is not positive semi-definite: such correlations are impossible.',
    { pointer: 'correlation' },
  );
}

function checkShape(matrix: CorrelationMatrix, size: number): void {
  requireCount('correlation', size, 1, MAXIMUM_CORRELATED_INPUTS);
  if (matrix.length !== size || matrix.some((row) => row.length !== size)) {
    throw new MetrologyError('contradictory', `The correlation matrix must have ${size} rows of ${size} numbers.`, {
      pointer: 'correlation',
    });
  }
  for (let i = 0; i < size; i += 1) {
    for (let j = 0; j < size; j += 1) {
      const r = requireFinite('correlation', matrix[i][j]);
      if (r < -1 || r > 1) {
        throw new MetrologyError('out-of-range', 'A correlation coefficient must lie between -1 and 1.', {
          pointer: 'correlation',
          range: [-1, 1],
          row: i,
          column: j,
        });
      }
      if ((i === j && r !== 1) || r !== matrix[j][i]) {
        throw new MetrologyError(
          'contradictory',
          'The correlation matrix must be symmetric, with ones on its diagonal.',
          {
            pointer: 'correlation',
            row: i,
            column: j,
          },
        );
      }
    }
  }
}

/** Groups correlated inputs: two inputs have the same number when a chain of non-zero correlations connects them. */
export function correlatedClusters(matrix: CorrelationMatrix): number[] {
  const cluster = new Array<number>(matrix.length).fill(-1);
  let count = 0;
  for (let start = 0; start < matrix.length; start += 1) {
    if (cluster[start] >= 0) continue;
    const queue = [start];
    cluster[start] = count;
    for (let i = queue.pop(); i !== undefined; i = queue.pop()) {
      for (let j = 0; j < matrix.length; j += 1) {
        if (matrix[i][j] !== 0 && cluster[j] < 0) {
          cluster[j] = count;
          queue.push(j);
        }
      }
    }
    count += 1;
  }
  return cluster;
}
