import { requireInRange } from '../../metrology/problem.js';
import type { Distribution, InputQuantity, Uncertain } from '../../metrology/uncertainty.js';

/** Which computation gave an answer, in which version, after whom. */
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
  /** in the unit of the value it belongs to, or in its own where a sensitivity says how it acts */
  readonly standardUncertainty: number;
  /** what shares an origin adds linearly; a calibration's origin is its instrument and scale region */
  readonly origin: string;
  readonly distribution?: Distribution;
  readonly degreesOfFreedom?: number;
  /** units of the value per unit of this component; 1 unless said */
  readonly sensitivity?: number;
  readonly unit?: string;
}

/** A value and where its uncertainty comes from; without components the stated default is taken. */
export interface Measured {
  readonly value: number;
  readonly components?: readonly UncertaintyComponent[];
}

/** The growing list of a budget: inputs and what one unit of each does to the result. */
export interface Budget {
  readonly inputs: InputQuantity[];
  readonly sensitivities: number[];
}

/** Puts the components of one measured value on the budget; `sensitivity` is result per unit of that value. */
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

/** Puts a correction of value `value` on the budget. */
export function addTerm(budget: Budget, input: InputQuantity, sensitivity: number): void {
  budget.inputs.push(input);
  budget.sensitivities.push(sensitivity);
}

/** Standard uncertainty of a quantity known only to lie within ± `halfWidth` (JCGM 100 4.3.7). */
export function rectangular(halfWidth: number): number {
  requireInRange('halfWidth', halfWidth, 0, Number.MAX_VALUE);
  return halfWidth / Math.sqrt(3);
}
