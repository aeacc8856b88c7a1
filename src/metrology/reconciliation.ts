import chiSquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import { Matrix, SVD } from 'ml-matrix';
import { covarianceMatrix, inverseOf, type Components } from './covariance.js';
import { normalCdf } from './normal.js';
import { MetrologyError, requireCount, requireFinite, requireInRange } from './problem.js';

/** A measured quantity of a balance with its contributions to *u* by origin. */
export interface MeasuredQuantity {
  readonly name: string;
  readonly value: number;
  readonly components: Components;
}

/** A balance: the sum of coefficient × quantity is zero. A quantity that is not measured is found from the balances where it can be. */
export interface Balance {
  readonly name: string;
  readonly terms: readonly { readonly quantity: string; readonly coefficient: number }[];
}

/** A possible systematic error, for example of one meter: how much each measured quantity would change for an error of one unit. */
export interface Suspect {
  readonly name: string;
  readonly effects: ReadonlyMap<string, number>;
}

interface AdjustedQuantity {
  readonly name: string;
  readonly measured: number;
  readonly adjusted: number;
  readonly standardMeasured: number;
  readonly standardAdjusted: number;
}

interface BalanceTest {
  readonly name: string;
  /** Sum of the balance with the measured values; zero if they agreed. Null where the balance holds a quantity that was not measured. */
  readonly residual: number | null;
  /** The residual over its standard uncertainty. */
  readonly z: number | null;
  readonly fits: boolean;
}

interface SuspectTest {
  readonly name: string;
  /** Best estimate of the error, in the unit of the suspect, with its standard uncertainty. */
  readonly error: number;
  readonly standard: number;
  readonly z: number;
}

export interface Reconciliation {
  readonly quantities: AdjustedQuantity[];
  readonly globalTest: {
    readonly chiSquared: number;
    readonly degreesOfFreedom: number;
    readonly probability: number;
    readonly fits: boolean;
  };
  readonly balances: BalanceTest[];
  /** Suspects that the balances can see, the likeliest first. */
  readonly suspects: SuspectTest[];
  /** The suspect whose error explains most, where the global test does not fit and it is beyond chance. Else null. */
  readonly found: SuspectTest | null;
}

const MOST_QUANTITIES = 300;

/** Singular values below this part of the largest are zero but for rounding. */
const RANK_TOLERANCE = 1e-10;

/**
 * Adjusts measured quantities so that linear balances hold, by least squares weighted with their covariance, and tests whether the
 * adjustments are larger than their uncertainties allow: global and nodal test and the likelihood ratio of each suspect. D. R. Kuehn and H.
 * Davidson, Chem. Eng. Prog. 57(6) (1961) 44; S. Narasimhan and C. Jordache, Data Reconciliation and Gross Error Detection (2000); the
 * tests for one of many at the level of Šidák. Quantities that are not measured are taken out by projection (Crowe 1983).
 *
 * @param measured 1 to 300, each with *u* above zero. @param balances at least one that measured quantities can break.
 * @param suspects systematic errors to look for; those that no balance can see are left out.
 * @param significance 0.0001 to 0.5; 0.05 by default.
 * @throws MetrologyError `too-few`, `too-many`, `not-finite`, `out-of-range`, `contradictory` (a quantity twice; balances that cannot be
 *   checked because a quantity of each was not measured)
 */
export function reconcile(
  measured: readonly MeasuredQuantity[],
  balances: readonly Balance[],
  suspects: readonly Suspect[] = [],
  significance = 0.05,
): Reconciliation {
  check(measured, balances, significance);
  const names = new Map(measured.map(({ name }, i) => [name, i]));
  const full = coefficients(balances, names);
  const checkable = withoutUnmeasured(full.measured, full.unmeasured);
  const covariance = covarianceMatrix(measured);
  const values = Matrix.columnVector(measured.map(({ value }) => value));
  const residuals = checkable.mmul(values);
  const inverse = inverseOf(checkable.mmul(covariance).mmul(checkable.transpose()), 'balances');
  const gain = covariance.mmul(checkable.transpose()).mmul(inverse);
  const adjusted = Matrix.sub(values, gain.mmul(residuals));
  const covarianceAdjusted = Matrix.sub(covariance, gain.mmul(checkable).mmul(covariance));
  const chiSquared = Math.max(0, residuals.transpose().mmul(inverse).mmul(residuals).get(0, 0));
  const probability = 1 - chiSquareCdf(chiSquared, checkable.rows);
  const fits = probability >= significance;
  const tested = suspectTests(suspects, names, checkable, inverse, residuals);
  const likeliest = tested.at(0);
  return {
    quantities: measured.map(({ name, value }, i) => ({
      name,
      measured: value,
      adjusted: adjusted.get(i, 0),
      standardMeasured: Math.sqrt(covariance.get(i, i)),
      standardAdjusted: Math.sqrt(Math.max(0, covarianceAdjusted.get(i, i))),
    })),
    globalTest: { chiSquared, degreesOfFreedom: checkable.rows, probability, fits },
    balances: balanceTests(balances, full, covariance, values, significance),
    suspects: tested,
    found: !fits && likeliest && beyondChance(likeliest.z, tested.length, significance) ? likeliest : null,
  };
}

/** Two-sided test of one among so many at a joint level (Šidák 1967). */
function beyondChance(z: number, count: number, significance: number): boolean {
  const each = 1 - (1 - significance) ** (1 / count);
  return 2 * normalCdf(-Math.abs(z)) < each;
}

function check(measured: readonly MeasuredQuantity[], balances: readonly Balance[], significance: number): void {
  requireCount('measured', measured.length, 1, MOST_QUANTITIES);
  requireCount('balances', balances.length, 1, MOST_QUANTITIES);
  requireInRange('significance', significance, 0.0001, 0.5);
  for (const { name, value } of measured) requireFinite(name, value);
  for (const { terms } of balances) for (const term of terms) requireFinite(term.quantity, term.coefficient);
  if (new Set(measured.map(({ name }) => name)).size < measured.length) {
    throw new MetrologyError('contradictory', 'A quantity is measured twice; join its values first.', {
      pointer: 'measured',
    });
  }
}

interface Coefficients {
  readonly measured: Matrix;
  /** Null where every quantity of the balances is measured. */
  readonly unmeasured: Matrix | null;
}

function coefficients(balances: readonly Balance[], names: ReadonlyMap<string, number>): Coefficients {
  const others = new Map<string, number>();
  for (const { terms } of balances) {
    for (const { quantity } of terms)
      if (!names.has(quantity) && !others.has(quantity)) others.set(quantity, others.size);
  }
  const measured = Matrix.zeros(balances.length, names.size);
  const unmeasured = others.size === 0 ? null : Matrix.zeros(balances.length, others.size);
  balances.forEach(({ terms }, row) => {
    for (const { quantity, coefficient } of terms) {
      const column = names.get(quantity);
      const into = column === undefined ? unmeasured : measured;
      const at = column ?? others.get(quantity) ?? 0;
      into?.set(row, at, into.get(row, at) + coefficient);
    }
  });
  return { measured, unmeasured };
}

/** Independent combinations of the balances that hold measured quantities only. */
function withoutUnmeasured(measured: Matrix, unmeasured: Matrix | null): Matrix {
  const free = unmeasured === null ? measured : nullSpaceOfRows(unmeasured)?.mmul(measured);
  const rows = free === undefined ? null : independentRows(free);
  if (rows === null) {
    throw new MetrologyError(
      'contradictory',
      'No balance can be checked: each holds a quantity that was not measured.',
      {
        pointer: 'balances',
      },
    );
  }
  return rows;
}

/** Rows p with p·matrix = 0; undefined where there are none. */
function nullSpaceOfRows(matrix: Matrix): Matrix | undefined {
  const { leftSingularVectors, rank } = decomposed(matrix);
  if (rank === matrix.rows) return undefined;
  return leftSingularVectors.subMatrix(0, matrix.rows - 1, rank, matrix.rows - 1).transpose();
}

function independentRows(matrix: Matrix): Matrix | null {
  const { leftSingularVectors, rank } = decomposed(matrix);
  if (rank === 0) return null;
  if (rank === matrix.rows) return matrix;
  return leftSingularVectors
    .subMatrix(0, matrix.rows - 1, 0, rank - 1)
    .transpose()
    .mmul(matrix);
}

function decomposed(matrix: Matrix): { leftSingularVectors: Matrix; rank: number } {
  // A square of the rows: all their left singular vectors come, also where there are fewer columns than rows.
  const square = matrix.mmul(matrix.transpose());
  const svd = new SVD(square);
  const largest = Math.max(...svd.diagonal, 0);
  const rank = svd.diagonal.filter((value) => value > largest * RANK_TOLERANCE).length;
  return { leftSingularVectors: svd.leftSingularVectors, rank };
}

function balanceTests(
  balances: readonly Balance[],
  full: Coefficients,
  covariance: Matrix,
  values: Matrix,
  significance: number,
): BalanceTest[] {
  const open = balances.map((_, i) => full.unmeasured?.getRow(i).some((value) => value !== 0) ?? false);
  const count = open.filter((unmeasured) => !unmeasured).length;
  return balances.map(({ name }, i) => {
    const row = full.measured.getRowVector(i);
    const variance = row.mmul(covariance).mmul(row.transpose()).get(0, 0);
    if (open[i] || variance <= 0) return { name, residual: null, z: null, fits: true };
    const residual = row.mmul(values).get(0, 0);
    const z = residual / Math.sqrt(variance);
    return { name, residual, z, fits: !beyondChance(z, count, significance) };
  });
}

function suspectTests(
  suspects: readonly Suspect[],
  names: ReadonlyMap<string, number>,
  checkable: Matrix,
  inverse: Matrix,
  residuals: Matrix,
): SuspectTest[] {
  const tests: SuspectTest[] = [];
  for (const { name, effects } of suspects) {
    const direction = Matrix.zeros(names.size, 1);
    for (const [quantity, effect] of effects) {
      const at = names.get(quantity);
      if (at !== undefined) direction.set(at, 0, requireFinite(name, effect));
    }
    const seen = checkable.mmul(direction);
    const information = seen.transpose().mmul(inverse).mmul(seen).get(0, 0);
    if (!(information > 0)) continue;
    const standard = 1 / Math.sqrt(information);
    const error = seen.transpose().mmul(inverse).mmul(residuals).get(0, 0) / information;
    tests.push({ name, error, standard, z: error / standard });
  }
  return tests.sort((a, b) => Math.abs(b.z) - Math.abs(a.z));
}
