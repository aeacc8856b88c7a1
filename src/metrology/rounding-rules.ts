import { Decimal } from 'decimal.js';
import { decimalOf } from './decimals.js';
import { MetrologyError, requireCount } from './problem.js';

/** Amounts that a rounding step may round, with their order in the computation: measures, then contents, then money. */
const BASES = {
  strength: 0,
  proof: 0,
  plato: 0,
  litres: 0,
  gallons: 0,
  'litres-of-alcohol': 1,
  'hectolitres-of-alcohol': 1,
  'proof-gallons': 1,
  barrels: 1,
  hectolitres: 1,
  rate: 2,
  money: 2,
} as const;

/** `cut` drops digits (towards zero), `up` adds (away from zero): a reversal rounds to the exact opposite of what it reverses. */
const MODES = {
  cut: Decimal.ROUND_DOWN,
  up: Decimal.ROUND_UP,
  'half-even': Decimal.ROUND_HALF_EVEN,
  'half-up': Decimal.ROUND_HALF_UP,
} as const;

const GROUPINGS = { line: 0, day: 1, period: 2 } as const;

export type RoundingBasis = keyof typeof BASES;
export type RoundingMode = keyof typeof MODES;
export type RoundingGrouping = keyof typeof GROUPINGS;

export const ROUNDING_BASES = Object.keys(BASES);
export const ROUNDING_MODES = Object.keys(MODES);
export const ROUNDING_GROUPINGS = Object.keys(GROUPINGS);
export const MAXIMUM_ROUNDING_STEPS = 20;

/** One named step: what it rounds, how, to how many places, and whether each line, each day's sum or the period's sum is rounded. */
export interface RoundingStep {
  readonly name: string;
  readonly basis: RoundingBasis;
  readonly mode: RoundingMode;
  readonly places: number;
  /** `line` by default. */
  readonly grouping?: RoundingGrouping;
}

export interface Rounded {
  /** The value before the step, kept for the record. */
  readonly raw: Decimal;
  readonly step: RoundingStep;
  readonly rounded: Decimal;
}

/**
 * Applies one step to one value of its basis; exact decimals.
 *
 * @param step mode and places 0 to 9. @param raw any finite decimal.
 * @throws MetrologyError `not-finite`, and what `checkRule` throws for the step by itself
 */
export function applyRounding(step: RoundingStep, raw: Decimal): Rounded {
  checkStep(step, 'step');
  const value = decimalOf(raw, step.basis);
  return { raw: value, step, rounded: value.toDecimalPlaces(step.places, MODES[step.mode]) };
}

/**
 * Refuses a rule that contradicts itself, and returns it: an unknown basis, mode or grouping, places outside 0 to 9, a name used twice; a
 * step that cannot change anything (same basis, already rounded to the same number of places or fewer); a finer grouping of a basis after
 * a coarser one; a measure rounded after the contents or the money that are computed from it.
 *
 * @param steps in the order in which they are taken, 1 to 20.
 * @throws MetrologyError `unknown-basis`, `unknown-mode`, `unknown-grouping`, `not-whole`, `too-few`, `too-many`, `contradictory`
 */
export function checkRule(steps: readonly RoundingStep[]): readonly RoundingStep[] {
  requireCount('steps', steps.length, 1, MAXIMUM_ROUNDING_STEPS);
  steps.forEach((step, i) => {
    const pointer = `steps/${i}`;
    checkStep(step, pointer);
    for (const earlier of steps.slice(0, i)) checkPair(earlier, step, pointer);
  });
  return steps;
}

function checkPair(earlier: RoundingStep, step: RoundingStep, pointer: string): void {
  const refuse = (why: string): never => {
    throw new MetrologyError('contradictory', `Step "${step.name}" contradicts "${earlier.name}": ${why}.`, {
      pointer,
      earlier: earlier.name,
    });
  };
  if (earlier.name === step.name) refuse('two steps of one name');
  if (BASES[step.basis] < BASES[earlier.basis])
    refuse(`${step.basis} is rounded after ${earlier.basis}, which is computed from it`);
  if (earlier.basis !== step.basis) return;
  if (GROUPINGS[step.grouping ?? 'line'] < GROUPINGS[earlier.grouping ?? 'line']) {
    refuse(`${step.basis} was already summed by ${earlier.grouping ?? 'line'}`);
  }
  if (step.places >= earlier.places) refuse(`${step.basis} already has ${earlier.places} places`);
}

function checkStep(step: RoundingStep, pointer: string): void {
  if (step.name.trim() === '')
    throw new MetrologyError('contradictory', 'A rounding step needs a name.', { pointer: `${pointer}/name` });
  requireKnown(step.basis, ROUNDING_BASES, 'basis', pointer);
  requireKnown(step.mode, ROUNDING_MODES, 'mode', pointer);
  requireKnown(step.grouping ?? 'line', ROUNDING_GROUPINGS, 'grouping', pointer);
  requireCount(`${pointer}/places`, step.places, 0, 9);
}

function requireKnown(value: string, allowed: readonly string[], what: string, pointer: string): void {
  if (!allowed.includes(value)) {
    throw new MetrologyError(`unknown-${what}`, `A rounding step takes as ${what} one of ${allowed.join(', ')}.`, {
      pointer: `${pointer}/${what}`,
      allowed,
    });
  }
}
