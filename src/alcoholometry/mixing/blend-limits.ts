import { MetrologyError } from '../../metrology/problem.js';
import {
  alongComposition,
  liquidOfKg,
  litresAddedPerKg,
  strengthRow,
  solveTarget,
  toProgram,
  volumeRow,
  type BlendModel,
  type BlendSolution,
} from './blend-model.js';
import type { Liquid } from '../liquids/liquid.js';
import type { LinearSolve } from './solver.js';

/** Relative distance from a limit within which the limit is the answer: half of the tolerance of a blend. */
const AT_THE_LIMIT = 5e-7;

/**
 * Lots with strengths this close cannot be adjusted by drawing more of one. Mixing itself changes the strength by thousandths where
 * extracts differ; that is accepted with a warning if it is below the error of the density model.
 */
const ONE_STRENGTH_PERCENT = 0.05;
const ONE_STRENGTH_OFF_PERCENT = 0.005;

interface Limits {
  readonly low: BlendSolution | null;
  readonly high: BlendSolution | null;
}

/**
 * Called where the program found no blend from its first estimate of the composition. If the target lies between the limits, the search
 * is repeated from a composition within the bounds. Within half a millionth of a limit the limit is the answer. Otherwise the refusal
 * names the bound that prevents the blend and the nearest possible blend.
 * @throws MetrologyError `no-solution`
 */
export function blendAtLimits(model: BlendModel, solve: LinearSolve): BlendSolution {
  const { targetVolumeL: volume, targetStrengthPercent: strength } = model;
  const whole = wholeLimits(model);
  const strengths = strengthLimits(model, whole, solve);
  const found = between(model, strengths, whole, solve);
  if (found) return found;
  const volumes = volumeLimits(model, solve);
  const { reason, description } = explain(model, strengths, whole);
  const nearestStrengthPercent = nearest(strength, [
    strengths.low?.result.strengthPercent,
    strengths.high?.result.strengthPercent,
  ]);
  const nearestVolumeL = nearest(volume, [volumes.low?.result.volumeL, volumes.high?.result.volumeL]);
  const nearestDescription = [
    nearestStrengthPercent === null
      ? `no strength is possible at ${volume} L`
      : `nearest strength at ${volume} L: ${round(nearestStrengthPercent)} % vol`,
    nearestVolumeL === null
      ? `no volume is possible at ${strength} % vol`
      : `nearest volume at ${strength} % vol: ${round(nearestVolumeL)} L`,
  ].join('; ');
  throw new MetrologyError('no-solution', `${description} (${nearestDescription}).`, {
    pointer: 'target',
    reason,
    nearestStrengthPercent,
    nearestVolumeL,
  });
}

/** The target, searched from a composition within the bounds, or a limit that equals it. */
function between(model: BlendModel, { low, high }: Limits, whole: Whole, solve: LinearSolve): BlendSolution | null {
  const { targetVolumeL: volume, targetStrengthPercent: strength } = model;
  const limit = [low, high, whole.minimums, whole.everything].find(
    (one) => one !== null && isClose(one.result.strengthPercent, strength) && isClose(one.result.volumeL, volume),
  );
  if (limit || low === null || high === null) return limit ?? null;
  const [weakest, strongest] = [low.result.strengthPercent, high.result.strengthPercent];
  const part = strongest > weakest ? (strength - weakest) / (strongest - weakest) : 0;
  const along = low.massesKg.map((kg, i) => kg + Math.min(Math.max(part, 0), 1) * (high.massesKg[i] - kg));
  const solution =
    solveTarget(model, solve, liquidOfKg(model, along)) ??
    solveTarget(model, solve, startForVolume(model, whole) ?? liquidOfKg(model, along));
  if (solution) return solution;
  if (strongest - weakest > ONE_STRENGTH_PERCENT) return null;
  return (
    [low, high].find(({ result }) => Math.abs(result.strengthPercent - strength) <= ONE_STRENGTH_OFF_PERCENT) ?? null
  );
}

/** Every component at its minimum, and at its available volume. */
interface Whole {
  readonly minimums: BlendSolution;
  readonly everything: BlendSolution;
}

function wholeLimits(model: BlendModel): Whole {
  const drawing = (litres: (component: BlendModel['components'][number]) => number): BlendSolution => {
    const massesKg = model.components.map((component) => litres(component) / component.litresPerKg);
    return { massesKg, result: liquidOfKg(model, massesKg) };
  };
  return { minimums: drawing(({ minimumL }) => minimumL), everything: drawing(({ availableL }) => availableL) };
}

/** A composition that the bounds allow at about the wanted volume; null where they do not allow that volume. */
function startForVolume(model: BlendModel, { minimums, everything }: Whole): Liquid | null {
  const [least, most] = [minimums.result.volumeL, everything.result.volumeL];
  if (model.targetVolumeL < least || model.targetVolumeL > most) return null;
  const part = most > least ? (model.targetVolumeL - least) / (most - least) : 1;
  return liquidOfKg(
    model,
    minimums.massesKg.map((kg, i) => kg + part * (everything.massesKg[i] - kg)),
  );
}

/** Weakest and strongest blend of the wanted volume. */
function strengthLimits(model: BlendModel, whole: Whole, solve: LinearSolve): Limits {
  const start = startForVolume(model, whole);
  if (start === null) return { low: null, high: null };
  const extreme = (sign: 1 | -1): BlendSolution | null =>
    alongComposition(
      model,
      solve,
      (at) =>
        toProgram(
          model,
          model.components.map(({ alcoholFraction }) => sign * alcoholFraction),
          [volumeRow(model, at, model.targetVolumeL)],
        ),
      start,
    );
  return { low: extreme(1), high: extreme(-1) };
}

/** Smallest and largest blend of the wanted strength. */
function volumeLimits(model: BlendModel, solve: LinearSolve): Limits {
  const extreme = (sign: 1 | -1): BlendSolution | null =>
    alongComposition(model, solve, (at) =>
      toProgram(
        model,
        litresAddedPerKg(model, at).map((litres) => sign * litres),
        [strengthRow(model, at, model.targetStrengthPercent)],
      ),
    );
  return { low: extreme(1), high: extreme(-1) };
}

function explain(model: BlendModel, strengths: Limits, whole: Whole): { reason: string; description: string } {
  const { components, targetVolumeL: volume, targetStrengthPercent: strength } = model;
  const everythingL = whole.everything.result.volumeL;
  const minimumsL = whole.minimums.result.volumeL;
  if (volume > everythingL) {
    return {
      reason: 'volume-above-available',
      description: `All components together make ${round(everythingL)} L, less than ${volume} L`,
    };
  }
  if (volume < minimumsL) {
    return {
      reason: 'volume-below-minimums',
      description: `The minimums together already make ${round(minimumsL)} L, more than ${volume} L`,
    };
  }
  const inOrder = components
    .filter(({ availableL }) => availableL > 0)
    .sort((a, b) => a.strengthPercent - b.strengthPercent);
  const [weakest, strongest] = [inOrder[0], inOrder[inOrder.length - 1]];
  if (strength > strongest.strengthPercent) {
    return {
      reason: 'strength-above-strongest',
      description: `No component reaches ${strength} % vol: the strongest, ${strongest.name}, has ${strongest.strengthPercent} % vol`,
    };
  }
  if (strength < weakest.strengthPercent) {
    return {
      reason: 'strength-below-weakest',
      description: `No component is below ${strength} % vol: the weakest, ${weakest.name}, has ${weakest.strengthPercent} % vol`,
    };
  }
  const above = strengths.high !== null && strength > strengths.high.result.strengthPercent;
  const limit = above ? strengths.high : strengths.low;
  return {
    reason: 'strength-out-of-reach',
    description: `At ${volume} L the blend can be at ${above ? 'most' : 'least'} ${limit === null ? 'unknown' : round(limit.result.strengthPercent)} % vol: ${boundsInTheWay(model, limit, above)}`,
  };
}

/** Components that are used up at the limit, and minimums that have to be drawn. */
function boundsInTheWay(model: BlendModel, limit: BlendSolution | null, above: boolean): string {
  if (limit === null) return 'the bounds of the components';
  const { targetStrengthPercent: strength } = model;
  const used: string[] = [];
  const forced: string[] = [];
  model.components.forEach((component, i) => {
    const drawnL = limit.massesKg[i] * component.litresPerKg;
    const helps = above ? component.strengthPercent > strength : component.strengthPercent < strength;
    if (helps && component.availableL > 0 && isClose(drawnL, component.availableL)) used.push(component.name);
    if (!helps && component.minimumL > 0 && isClose(drawnL, component.minimumL)) forced.push(component.name);
  });
  const parts = [
    used.length > 0 ? `all of ${used.join(', ')} is drawn` : '',
    forced.length > 0 ? `the minimum of ${forced.join(', ')} has to be drawn` : '',
  ].filter((part) => part !== '');
  return parts.length > 0 ? parts.join(' and ') : 'the bounds of the components leave no more';
}

function nearest(wanted: number, [low, high]: readonly (number | undefined)[]): number | null {
  if (low === undefined && high === undefined) return null;
  return Math.min(Math.max(wanted, low ?? 0), high ?? wanted);
}

function isClose(value: number, limit: number): boolean {
  return Math.abs(value - limit) <= AT_THE_LIMIT * Math.max(Math.abs(limit), 1e-3);
}

function round(value: number): string {
  return String(Number(value.toPrecision(6)));
}
