import { MetrologyError } from '../../metrology/problem.js';
import { propagate } from '../../metrology/uncertainty.js';
import { apparentExtract } from './composition.js';
import type { MethodDescriptor, StrengthFinding } from './finding.js';
import { massBalanceTerms, type RoledBudget, type Slopes } from './mass-balance-budget.js';
import { realExtractUncertain } from './mass-balance-extracts.js';
import { evaluatePoint, type MassBalanceInput, type MassBalancePoint } from './mass-balance-point.js';

const MASS_BALANCE: MethodDescriptor = {
  id: 'mass-balance',
  version: '1.0.0',
  source: 'Balling mass balance and Tabarié, made up to mass; OIML R 22; ICUMSA SPS-4',
};

/**
 * Strength, % vol at 20 °C, from original and final gravity by mass balance.
 *
 * Balling: OE = 100 (2.0665 A + ER) / (100 + 1.0665 A), less where the extract is sugar (`extractPerAlcohol`). Tabarié, made up to mass: the drink's density exceeds water's by what its alcohol
 * (OIML R 22) and its real extract (ICUMSA SPS-4) each add. Both are solved together for A and ER. Range: original 0–60 °P, both readings
 * 0–40 °C. Stated error: the model term, by default u 2.4 % of the strength for malt (spread of 532 published brews), 3 % for sugar
 * washes; it finds the alcohol of the published means within 0.1 % by mass. Not valid for a liquid that was distilled, diluted or blended
 * after fermentation. Sensitivities are exact (implicit differentiation). Original and final gravity share an origin only where the
 * caller says so.
 * @throws MetrologyError out of range; `final-above-original`; `readings-disagree` where the real extract lies below zero by more than
 *   its expanded uncertainty.
 */
export function massBalance(input: MassBalanceInput): StrengthFinding {
  const point = evaluatePoint(input);
  const { composition } = point;
  const { budget } = strengthBudget(input, point);
  const strengthPercent = propagate(
    Math.max(0, composition.strength) * (1 + point.bias),
    budget.inputs,
    budget.sensitivities,
  );
  const warnings = readingWarnings(input);
  if (composition.extract < 0) warnings.push(judgeNegativeExtract(input, point));
  const apparent = apparentExtract(composition.alcohol, composition.extract);
  return {
    strengthPercent,
    method: MASS_BALANCE,
    warnings,
    alcoholByMassPercent: composition.alcohol * (1 + point.bias),
    originalExtractPlato: point.originalExtract,
    realExtractPlato: composition.extract,
    apparentExtractPlato: apparent,
    ...attenuation(point.originalExtract, apparent, composition.extract),
  };
}

/** The budget of `massBalance` with the role of each input; refuses what `massBalance` refuses. */
export function massBalanceBudget(input: MassBalanceInput): RoledBudget {
  const point = evaluatePoint(input);
  if (point.composition.extract < 0) judgeNegativeExtract(input, point);
  return strengthBudget(input, point);
}

function strengthBudget(input: MassBalanceInput, point: MassBalancePoint): RoledBudget {
  return massBalanceTerms(input, point, resultSlopes(point), point.composition.strength);
}

function resultSlopes({ composition, bias }: MassBalancePoint): Slopes {
  const { alcoholSlopes: a, extractSlopes: e, strengthPerAlcohol, strengthPerExtract } = composition;
  const of = (alcohol: number, extract: number): number =>
    (1 + bias) * (strengthPerAlcohol * alcohol + strengthPerExtract * extract);
  return {
    originalExtract: of(a.original, e.original),
    excess: of(a.excess, e.excess),
    convention: of(a.convention, e.convention),
  };
}

/**
 * Real extract below zero: a warning within its uncertainty; refused beyond it, because no drink has a negative extract.
 */
function judgeNegativeExtract(input: MassBalanceInput, point: MassBalancePoint): string {
  const extract = realExtractUncertain(input, point);
  if (extract.value < -extract.expanded) {
    throw new MetrologyError(
      'readings-disagree',
      `The readings disagree: together they leave a real extract of ${extract.value.toFixed(2)} °P, below zero by more than its uncertainty of ${extract.expanded.toFixed(2)} °P.`,
      { pointer: 'finalGravity', realExtractPlato: extract.value, expandedUncertainty: extract.expanded },
    );
  }
  return `The real extract comes out at ${extract.value.toFixed(2)} °P, below zero but within its uncertainty.`;
}

const NEGLIGIBLE_EXTRACT_PLATO = 0.01;

function attenuation(
  original: number,
  apparent: number,
  real: number,
): Pick<StrengthFinding, 'apparentAttenuationPercent' | 'realAttenuationPercent'> {
  if (original < NEGLIGIBLE_EXTRACT_PLATO) return {};
  return {
    apparentAttenuationPercent: (100 * (original - apparent)) / original,
    realAttenuationPercent: (100 * (original - real)) / original,
  };
}

/** Warnings about the readings, for the answer. */
export function readingWarnings(input: MassBalanceInput): string[] {
  const warnings: string[] = [];
  const { original, final, model } = input;
  if (original.components === undefined || final.components === undefined) {
    warnings.push('No calibration was given: a stated default of ± one point is used for the gravity.');
  }
  if (original.sampleTemperatureC === undefined || final.sampleTemperatureC === undefined) {
    warnings.push('A gravity without a temperature is taken as at the temperature of its scale, ± 5 °C.');
  }
  if (model === undefined)
    warnings.push('The kind of wash was not given: the model term for sugar washes, 3 %, is used.');
  return warnings;
}
