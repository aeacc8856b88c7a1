/** Residuals of a fit, each divided by its standard uncertainty. */
export type Residuals = (parameters: readonly number[]) => number[];

export interface Fit {
  readonly parameters: readonly number[];
  /** Sum of the squared residuals. */
  readonly chiSquare: number;
  /** Lower triangular root L of the covariance of the parameters: covariance = L·Lᵀ. */
  readonly covarianceRoot: readonly (readonly number[])[];
  /** Natural logarithm of the determinant of JᵀJ. */
  readonly logDeterminant: number;
}

const MAX_STEPS = 100;
const TOLERANCE = 1e-10;

const sumOfSquares = (values: readonly number[]): number => values.reduce((sum, each) => sum + each * each, 0);

/** Cholesky factor of a symmetric matrix; undefined where it is not positive definite. */
function cholesky(matrix: readonly (readonly number[])[]): number[][] | undefined {
  const root = matrix.map((row) => row.map(() => 0));
  for (let i = 0; i < matrix.length; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      let rest = matrix[i][j];
      for (let k = 0; k < j; k += 1) {
        rest -= root[i][k] * root[j][k];
      }
      if (i === j && !(rest > 0)) {
        return undefined;
      }
      root[i][j] = i === j ? Math.sqrt(rest) : rest / root[j][j];
    }
  }
  return root;
}

/** Solves L·Lᵀ·x = b. */
function solve(root: readonly (readonly number[])[], b: readonly number[]): number[] {
  const y: number[] = [];
  for (let i = 0; i < b.length; i += 1) {
    y.push((b[i] - y.reduce((sum, each, k) => sum + root[i][k] * each, 0)) / root[i][i]);
  }
  const x = y.map(() => 0);
  for (let i = b.length - 1; i >= 0; i -= 1) {
    let rest = y[i];
    for (let k = i + 1; k < b.length; k += 1) {
      rest -= root[k][i] * x[k];
    }
    x[i] = rest / root[i][i];
  }
  return x;
}

/** Slopes of the residuals by central differences: one row a residual. */
function jacobian(residuals: Residuals, at: readonly number[]): number[][] {
  const columns = at.map((value, index) => {
    const step = 1e-5 * Math.max(1, Math.abs(value));
    const moved = (by: number): number[] => residuals(at.map((each, k) => (k === index ? each + by : each)));
    const [above, below] = [moved(step), moved(-step)];
    return above.map((each, k) => (each - below[k]) / (2 * step));
  });
  return columns[0].map((_, row) => columns.map((column) => column[row]));
}

const normalMatrix = (slopes: readonly (readonly number[])[], size: number): number[][] =>
  Array.from({ length: size }, (_, i) =>
    Array.from({ length: size }, (__, j) => slopes.reduce((sum, row) => sum + row[i] * row[j], 0)),
  );

/**
 * Non-linear least squares by Levenberg and Marquardt (Marquardt 1963, SIAM J. Appl. Math. 11, 431–441; from memory), slopes by central differences.
 *
 * @param residuals weighted by their standard uncertainties, priors of the parameters among them; @param start near the solution
 * @returns undefined where the slopes do not determine the parameters
 */
export function leastSquares(residuals: Residuals, start: readonly number[]): Fit | undefined {
  let at = [...start];
  let now = residuals(at);
  let chiSquare = sumOfSquares(now);
  let damping = 1e-2;
  for (let step = 0; step < MAX_STEPS && damping < 1e12; step += 1) {
    const slopes = jacobian(residuals, at);
    const normal = normalMatrix(slopes, at.length);
    const gradient = at.map((_, i) => -slopes.reduce((sum, row, k) => sum + row[i] * now[k], 0));
    const damped = normal.map((row, i) => row.map((each, j) => (i === j ? each * (1 + damping) : each)));
    const root = cholesky(damped);
    const move = root === undefined ? undefined : solve(root, gradient);
    const next = move === undefined ? at : at.map((each, i) => each + move[i]);
    const then = residuals(next);
    const thenSquare = sumOfSquares(then);
    if (move !== undefined && thenSquare <= chiSquare) {
      const gain = chiSquare - thenSquare;
      [at, now, chiSquare, damping] = [next, then, thenSquare, damping / 5];
      if (gain <= TOLERANCE * (1 + chiSquare)) {
        break;
      }
    } else {
      damping *= 4;
    }
  }
  return finished(residuals, at, chiSquare);
}

function finished(residuals: Residuals, at: readonly number[], chiSquare: number): Fit | undefined {
  const normalRoot = cholesky(normalMatrix(jacobian(residuals, at), at.length));
  if (normalRoot === undefined) {
    return undefined;
  }
  const unit = (index: number): number[] => at.map((_, k) => (k === index ? 1 : 0));
  const covarianceRoot = cholesky(at.map((_, index) => solve(normalRoot, unit(index))));
  return covarianceRoot === undefined
    ? undefined
    : {
        parameters: at,
        chiSquare,
        covarianceRoot,
        logDeterminant: 2 * normalRoot.reduce((sum, row, i) => sum + Math.log(row[i]), 0),
      };
}
