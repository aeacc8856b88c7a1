import { requireInRange } from '../../metrology/problem.js';
import type { Distribution, InputQuantity, Uncertain } from '../../metrology/uncertainty.js';

/** Computation that gave an answer: its id, version and source. */
export interface MethodDescriptor {
  readonly id: string;
  readonly version: string;
  readonly source: string;
}

/** A strength by one method, with its budget; extracts in °P, attenuation in %, alcohol in % by mass. */
export interface StrengthFinding {
  /** % vol at 20 °C */
  readonly strengthPercent: Uncertain;
  readonly method: MethodDescriptor;
  readonly warnings: readonly string[];
  readonly alcoholByMassPercent?: number;
  readonly originalExtractPlato?: number;
  readonly realExtractPlato?: number;
  readonly apparentExtractPlato?: number;
  readonly apparentAttenuationPercent?: number;
  readonly realAttenuationPercent?: number;
}

/** One source of uncertainty of one measured value. */
export interface UncertaintyComponent {
  readonly name: string;
  /** in the unit of the value it belongs to, or in its own unit where a sensitivity is given */
  readonly standardUncertainty: number;
  /** contributions of one origin add linearly; the origin of a calibration is its instrument and scale region */
  readonly origin: string;
  readonly distribution?: Distribution;
  readonly degreesOfFreedom?: number;
  /** units of the value per unit of this component; 1 by default */
  readonly sensitivity?: number;
  readonly unit?: string;
}

/** A value with the components of its uncertainty; without components the stated default is used. */
export interface Measured {
  readonly value: number;
  readonly components?: readonly UncertaintyComponent[];
}

/** Inputs of a budget and their sensitivities, collected step by step. */
export interface Budget {
  readonly inputs: InputQuantity[];
  readonly sensitivities: number[];
}

/** Adds the components of one measured value to the budget; `sensitivity` is result per unit of that value. */
export function addComponents(
  budget: Budget,
  measured: { readonly value: number; readonly components: readonly UncertaintyComponent[]; readonly unit?: string },
  sensitivity: number,
): void {
  for (const component of measured.components) {
    const { name, standardUncertainty, origin, degreesOfFreedom, distribution } = component;
    budget.inputs.push({
      name,
      value: measured.value,
      standardUncertainty,
      degreesOfFreedom,
      distribution,
      origin,
      unit: component.unit ?? measured.unit,
    });
    budget.sensitivities.push(sensitivity * (component.sensitivity ?? 1));
  }
}

/** Adds a correction of value `value` to the budget. */
export function addTerm(budget: Budget, input: InputQuantity, sensitivity: number): void {
  budget.inputs.push(input);
  budget.sensitivities.push(sensitivity);
}

/** Standard uncertainty of a quantity known only to lie within ± `halfWidth` (JCGM 100 4.3.7). */
export function rectangular(halfWidth: number): number {
  requireInRange('halfWidth', halfWidth, 0, Number.MAX_VALUE);
  return halfWidth / Math.sqrt(3);
}
