import { drinkByMass } from '../liquids/drink.js';
import { liquidOfMasses, partialVolumes, type Liquid, type Masses, type PartialVolumes } from '../liquids/liquid.js';
import type { LinearProgram, LinearRow, LinearSolve } from './solver.js';

/** A component of the linear program, by mass. */
export interface ModelComponent {
  readonly name: string;
  readonly strengthPercent: number;
  readonly availableL: number;
  readonly minimumL: number;
  readonly litresPerKg: number;
  readonly alcoholFraction: number;
  readonly extractFraction: number;
}

export interface BlendModel {
  readonly components: readonly ModelComponent[];
  readonly targetVolumeL: number;
  readonly targetStrengthPercent: number;
  /** Litres of pure alcohol at 20 °C in a kg of ethanol. */
  readonly litresPerKgAlcohol: number;
  /** Objective to be minimised, per kg of each component, scaled so that the largest is near one. */
  readonly costPerKg: readonly number[];
  readonly objective: string;
  readonly warnings: readonly string[];
}

export interface BlendSolution {
  readonly massesKg: readonly number[];
  readonly result: Liquid;
}

const ITERATIONS = 40;
/**
 * Iterations after which components at a bound are fixed there. Otherwise two draws that are each best at the composition of the other
 * would alternate.
 */
const FREE_ITERATIONS = 12;
/**
 * Step at which the composition has converged. The error of volume and strength is the square of the last step, far below the tolerance
 * of a blend.
 */
const COMPOSITION_STANDS = 1e-8;

/** Litres that a kg of each component adds to a blend of the given partial volumes. */
export function litresAddedPerKg(model: BlendModel, at: PartialVolumes): number[] {
  return model.components.map(
    ({ alcoholFraction, extractFraction }) =>
      at.perMassKg + alcoholFraction * at.perAlcoholKg + extractFraction * at.perExtractKg,
  );
}

/** Masses are counted in units of the target volume's mass of water, so that every number of the program is near one. */
function unitKg(model: BlendModel): number {
  return model.targetVolumeL;
}

/** The volume of the blend, as a row. */
export function volumeRow(model: BlendModel, at: PartialVolumes, volumeL: number): LinearRow {
  const value = volumeL / unitKg(model);
  return { coefficients: litresAddedPerKg(model, at), lower: value, upper: value };
}

/**
 * Pure alcohol over strength minus volume is zero, as a row: holds at whatever volume. Divided by the strength, so that the solver's
 * tolerance is relative to it; below 0.001 % vol by that instead.
 */
export function strengthRow(model: BlendModel, at: PartialVolumes, strengthPercent: number): LinearRow {
  const litres = litresAddedPerKg(model, at);
  const scale = Math.max(strengthPercent / 100, 1e-5);
  return {
    coefficients: model.components.map(
      ({ alcoholFraction }, i) =>
        (alcoholFraction * model.litresPerKgAlcohol - (strengthPercent / 100) * litres[i]) / scale,
    ),
    lower: 0,
    upper: 0,
  };
}

/** The program over all components between their bounds. */
export function toProgram(model: BlendModel, objective: readonly number[], rows: readonly LinearRow[]): LinearProgram {
  return {
    objective,
    rows,
    bounds: model.components.map(({ minimumL, availableL, litresPerKg }): [number, number] => [
      minimumL / litresPerKg / unitKg(model),
      availableL / litresPerKg / unitKg(model),
    ]),
  };
}

/**
 * Solves a program whose coefficients are the partial volumes at the composition of its own solution: it is solved again until the
 * composition no longer changes. Without extract the first solve of a fixed strength is already exact.
 *
 * @param start composition to begin with; the target's strength with the mean extract of the components unless given.
 * @returns null where the program has no solution, only the empty one, or does not converge
 */
export function alongComposition(
  model: BlendModel,
  solve: LinearSolve,
  program: (at: PartialVolumes) => LinearProgram,
  start: Masses = startComposition(model),
): BlendSolution | null {
  let at = partialVolumes(start);
  let before: readonly number[] = [];
  for (let i = 0; i < ITERATIONS; i += 1) {
    const { bounds, ...rest } = program(at);
    const x = solve({ ...rest, bounds: i < FREE_ITERATIONS ? bounds : heldBounds(bounds, before) });
    if (x === null) return null;
    const total = x.reduce((sum, share) => sum + share, 0);
    if (total < 1e-9) return null;
    const solution = mixed(model, x);
    if (before.length > 0 && x.every((share, k) => Math.abs(share - before[k]) <= COMPOSITION_STANDS * total))
      return solution;
    before = x;
    at = partialVolumes(solution.result);
  }
  return null;
}

function heldBounds(bounds: LinearProgram['bounds'], x: readonly number[]): LinearProgram['bounds'] {
  return bounds.map(([low, high], i): [number, number] => {
    if (x[i] <= low) return [low, low];
    return x[i] >= high ? [high, high] : [low, high];
  });
}

/** The draw that meets the target at the least objective; null where the program finds none. */
export function solveTarget(model: BlendModel, solve: LinearSolve, start?: Masses): BlendSolution | null {
  const program = (at: PartialVolumes): LinearProgram =>
    toProgram(model, model.costPerKg, [
      strengthRow(model, at, model.targetStrengthPercent),
      volumeRow(model, at, model.targetVolumeL),
    ]);
  return alongComposition(model, solve, program, start);
}

/** The blend of so many units of each component. */
function mixed(model: BlendModel, x: readonly number[]): BlendSolution {
  const massesKg = x.map((share) => share * unitKg(model));
  return { massesKg, result: liquidOfKg(model, massesKg) };
}

/** Mass, volume and strength of a blend of the given masses. */
export function liquidOfKg(model: BlendModel, massesKg: readonly number[]): Liquid {
  const sum = (fraction: (component: ModelComponent) => number): number =>
    model.components.reduce((total, component, i) => total + massesKg[i] * fraction(component), 0);
  return liquidOfMasses({
    massKg: sum(() => 1),
    alcoholKg: sum(({ alcoholFraction }) => alcoholFraction),
    extractKg: sum(({ extractFraction }) => extractFraction),
  });
}

/**
 * Starting composition: the strength of the target with the mean extract of the components, or without extract where the two do not fit.
 */
function startComposition({ components, targetStrengthPercent: strengthPercent }: BlendModel): Masses {
  const mean = components.reduce((sum, { extractFraction }) => sum + extractFraction, 0) / components.length;
  const most = (100 - strengthPercent) / 200;
  const extractPlato = 100 * Math.min(Math.max(mean, 0), most);
  const { alcoholMassFraction } = drinkByMass({ strengthPercent, extractPlato });
  return { massKg: 1, alcoholKg: alcoholMassFraction, extractKg: extractPlato / 100 };
}
