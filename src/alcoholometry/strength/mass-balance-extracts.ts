import { propagate, type Uncertain } from '../../metrology/uncertainty.js';
import { apparentExtract } from './composition.js';
import { massBalanceTerms, type Slopes } from './mass-balance-budget.js';
import { evaluatePoint, type MassBalanceInput, type MassBalancePoint } from './mass-balance-point.js';

/** Real extract, °P, with its budget by the same origins as that of the strength. */
export function realExtractUncertain(input: MassBalanceInput, point: MassBalancePoint): Uncertain {
  const { composition } = point;
  const slopes: Slopes = {
    originalExtract: composition.extractSlopes.original,
    excess: composition.extractSlopes.excess,
    convention: composition.extractSlopes.convention,
  };
  const perModel = composition.extractPerAlcoholAtDensity * composition.alcohol;
  const { budget } = massBalanceTerms(input, point, slopes, perModel);
  return propagate(composition.extract, budget.inputs, budget.sensitivities);
}

/** Half of the step of the central differences, % by mass; the error of the slope is below 1e-6 of it. */
const STEP = 1e-3;

/** Apparent attenuation, %. The model term has no part in it: at a given density the alcohol does not change what the hydrometer reads. */
function apparentAttenuationUncertain(input: MassBalanceInput, point: MassBalancePoint): Uncertain {
  const { composition, originalExtract } = point;
  const { alcohol, extract, alcoholSlopes: a, extractSlopes: e } = composition;
  const apparent = apparentExtract(alcohol, extract);
  const perAlcohol = (apparentExtract(alcohol + STEP, extract) - apparentExtract(alcohol - STEP, extract)) / (2 * STEP);
  const perExtract = (apparentExtract(alcohol, extract + STEP) - apparentExtract(alcohol, extract - STEP)) / (2 * STEP);
  const perApparent = -100 / originalExtract;
  const of = (role: 'original' | 'excess' | 'convention'): number =>
    perApparent * (perAlcohol * a[role] + perExtract * e[role]);
  const slopes: Slopes = {
    originalExtract: of('original') + (100 * apparent) / originalExtract ** 2,
    excess: of('excess'),
    convention: of('convention'),
  };
  const { budget } = massBalanceTerms(input, point, slopes, 0);
  return propagate(100 * (1 - apparent / originalExtract), budget.inputs, budget.sensitivities);
}

interface ExtractFigures {
  /** °P */
  readonly realExtract: Uncertain;
  /** % */
  readonly apparentAttenuation: Uncertain;
}

/**
 * Real extract and apparent attenuation of a mass balance with their uncertainties, by the origins of its inputs.
 *
 * Range, error and source: those of `massBalance`; the original extract above 0.01 °P.
 * @throws MetrologyError as `massBalance`
 */
export function massBalanceExtracts(input: MassBalanceInput): ExtractFigures {
  const point = evaluatePoint(input);
  return {
    realExtract: realExtractUncertain(input, point),
    apparentAttenuation: apparentAttenuationUncertain(input, point),
  };
}
