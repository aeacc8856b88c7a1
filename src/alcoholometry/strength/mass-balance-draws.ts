import { monteCarlo, type MonteCarloResult } from '../../metrology/monte-carlo.js';
import type { InputQuantity } from '../../metrology/uncertainty.js';
import { AIR_DENSITY_KG_M3 } from '../liquids/air-buoyancy.js';
import { scaleReferenceTemperatureC, type GravityScale } from '../liquids/gravity-scales.js';
import { GLASS_EXPANSION_PER_K } from '../hydrometry/hydrometer.js';
import { sucroseExcessKgM3, sucroseFractionFromExcess } from '../liquids/sugar-solution.js';
import { kellWaterKgM3 } from '../liquids/water.js';
import { extractPerAlcohol, realExtract, solveAlcohol, strengthOf } from './composition.js';
import { massBalanceBudget } from './mass-balance.js';
import type { BudgetRole } from './mass-balance-budget.js';
import type { MassBalanceInput, MeasuredGravity } from './mass-balance-point.js';
import { biasOf } from './mass-balance-point.js';

/** The mass balance as a function of the inputs of its budget: the input of a Monte Carlo. */
interface MassBalanceModel {
  readonly inputs: readonly InputQuantity[];
  /** strength, % vol at 20 °C, of one draw; the buffer is reused */
  readonly evaluate: (draw: Float64Array) => number;
}

interface Slot {
  /** place among the deviations */
  readonly index: number;
  readonly value: number;
  readonly sensitivity: number;
}

const ROLES: readonly BudgetRole[] = [
  'original-value',
  'original-temperature',
  'final-value',
  'final-temperature',
  'convention',
  'model',
];

/**
 * The full model of `massBalance`, not linearized, over the same inputs. Same source and range; a draw in which the final gravity lies a
 * little above the original continues below zero strength, because a distribution around zero has two sides.
 */
export function massBalanceModel(input: MassBalanceInput): MassBalanceModel {
  const { budget, roles } = massBalanceBudget(input);
  const slots = budget.inputs.map((quantity, i): Slot => ({
    index: ROLES.indexOf(roles[i].role),
    value: quantity.value,
    sensitivity: roles[i].sensitivity,
  }));
  const glass = input.glassExpansionPerK ?? GLASS_EXPANSION_PER_K;
  const original = gravityReader(input.original, glass);
  const final = gravityReader(input.final, glass);
  const bias = biasOf(input.model);
  const perAlcohol = extractPerAlcohol(input.shares);
  const deviations = new Float64Array(ROLES.length);
  const evaluate = (draw: Float64Array): number => {
    deviations.fill(0);
    for (let i = 0; i < slots.length; i++) {
      const slot = slots[i];
      deviations[slot.index] += slot.sensitivity * (draw[i] - slot.value);
    }
    const [originalValue, originalKelvin, finalValue, finalKelvin, convention, model] = deviations;
    const originalC = original.temperatureC + originalKelvin;
    const finalC = final.temperatureC + finalKelvin;
    const originalExcess = original.densityKgM3(originalValue, originalC) - kellWaterKgM3(originalC);
    const finalExcess = final.densityKgM3(finalValue, finalC) - kellWaterKgM3(finalC);
    const originalExtract = 100 * sucroseFractionFromExcess(originalExcess, originalC);
    const alcohol = solveAlcohol(originalExtract, finalExcess, finalC, convention, perAlcohol);
    return strengthOf(alcohol, realExtract(originalExtract, alcohol, perAlcohol)) * (1 + bias + model);
  };
  return { inputs: budget.inputs, evaluate };
}

interface GravityReader {
  readonly temperatureC: number;
  densityKgM3(deviation: number, temperatureC: number): number;
}

function gravityReader(gravity: MeasuredGravity, glass: number): GravityReader {
  const referenceC = scaleReferenceTemperatureC(gravity.scale);
  const mark = markReader(gravity.scale, referenceC);
  return {
    temperatureC: gravity.sampleTemperatureC ?? referenceC,
    densityKgM3: (deviation, temperatureC) =>
      mark(gravity.value + deviation) * (1 - glass * (temperatureC - referenceC)),
  };
}

/** Mark of a scale as a function without checks, because the inputs were checked before. */
function markReader(scale: GravityScale, referenceC: number): (value: number) => number {
  const water = kellWaterKgM3(referenceC);
  if (scale === 'density-kg-m3') return (value) => value;
  if (scale === 'plato') return (value) => water + sucroseExcessKgM3(value / 100, referenceC);
  return (value) => AIR_DENSITY_KG_M3 + value * (water - AIR_DENSITY_KG_M3);
}

/**
 * Monte Carlo of the mass balance (JCGM 101): the full model over the distributions of its budget, seeded.
 * `draws` and `seed` as in `monteCarlo`, which also states its errors; refusals of `massBalance` come first.
 */
export function massBalanceMonteCarlo(
  input: MassBalanceInput,
  options: { readonly seed: number; readonly draws?: number },
): MonteCarloResult {
  const { inputs, evaluate } = massBalanceModel(input);
  return monteCarlo({ ...options, inputs, evaluate });
}
