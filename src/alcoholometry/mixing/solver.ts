import highsModule from 'highs';

/** A row of the program: lower ≤ Σ coefficients·x ≤ upper. */
export interface LinearRow {
  readonly coefficients: readonly number[];
  readonly lower: number;
  readonly upper: number;
}

/** Minimise Σ objective·x with every x between its bounds. All numbers finite; scale them near one. */
export interface LinearProgram {
  readonly objective: readonly number[];
  readonly rows: readonly LinearRow[];
  readonly bounds: readonly (readonly [number, number])[];
}

/** The answer of a linear program: its x, or null where no x meets rows and bounds. */
export type LinearSolve = (program: LinearProgram) => readonly number[] | null;

/** Tightest tolerance the solver takes; with variables near one it is far inside the 1e-6 that a blend has to meet. */
const FEASIBILITY_TOLERANCE = 1e-10;
/** A blend takes milliseconds; a solve that does not end is given up. */
const TIME_LIMIT_S = 5;

// The types of the package describe its CommonJS form, with the loader under `default`; the ES module is the loader itself.
const loadHighs = highsModule as unknown as typeof highsModule.default;

let loaded: Promise<LinearSolve> | undefined;

/**
 * The linear solver (HiGHS, simplex, compiled to WebAssembly in the package `highs`).
 *
 * The first call reads the package's own wasm file beside its code and compiles it (about 40 ms), later calls share it; this library
 * reads no other file, and no data leave the process. What it returns is synchronous and keeps no state between programs.
 */
export function loadLinearSolver(): Promise<LinearSolve> {
  loaded ??= loadHighs().then((highs) => (program) => {
    const solution = highs.solve(toLpText(program), {
      time_limit: TIME_LIMIT_S,
      output_flag: false,
      solver: 'simplex',
      // Presolve calls a draw of millionths of the whole infeasible; programs this small do not need it.
      presolve: 'off',
      small_matrix_value: 1e-12,
      primal_feasibility_tolerance: FEASIBILITY_TOLERANCE,
      dual_feasibility_tolerance: FEASIBILITY_TOLERANCE,
    });
    if (solution.Status === 'Infeasible') return null;
    if (solution.Status !== 'Optimal') throw new Error(`The linear solver ended with: ${solution.Status}`);
    return program.objective.map((_, i) => {
      const column = solution.Columns[`x${i}`];
      if (!('Primal' in column)) throw new Error('The linear solver gave no value for a variable.');
      // A basic variable may leave its bound by the tolerance: a draw is never below zero or above what there is.
      return Math.min(Math.max(column.Primal, program.bounds[i][0]), program.bounds[i][1]);
    });
  });
  return loaded;
}

/** The program in the solver's text format. Numbers are printed so that they read back to the same double. */
function toLpText({ objective, rows, bounds }: LinearProgram): string {
  const lines = ['Minimize', ` obj: ${sum(objective)}`, 'Subject To'];
  rows.forEach((row, i) => {
    if (row.lower === row.upper) lines.push(` r${i}: ${sum(row.coefficients)} = ${row.lower}`);
    else {
      lines.push(
        ` r${i}l: ${sum(row.coefficients)} >= ${row.lower}`,
        ` r${i}u: ${sum(row.coefficients)} <= ${row.upper}`,
      );
    }
  });
  lines.push('Bounds');
  bounds.forEach(([lower, upper], i) => lines.push(` ${lower} <= x${i} <= ${upper}`));
  lines.push('End');
  return lines.join('\n');
}

function sum(coefficients: readonly number[]): string {
  return coefficients.map((c, i) => `${c < 0 ? '-' : '+'} ${Math.abs(c)} x${i}`).join(' ');
}
