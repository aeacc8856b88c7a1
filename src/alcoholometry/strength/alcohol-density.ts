import { requireInRange } from '../../metrology/problem.js';
import { propagate } from '../../metrology/uncertainty.js';
import { component, DEFAULTS, defaultTemperatureComponent } from './defaults.js';
import { requireExtractFree, strengthFromDensity, type ExtractFree } from './extract-free.js';
import {
  addComponents,
  addTerm,
  rectangular,
  type Budget,
  type Measured,
  type MethodDescriptor,
  type StrengthFinding,
} from './finding.js';

const ALCOHOL_DENSITY: MethodDescriptor = {
  id: 'alcohol-density',
  version: '1.0.0',
  source: 'OIML R 22, general formula, inverted; OIV-MA-AS312-01',
};

interface AlcoholDensityInput {
  /** true density, kg/m3; ± 0.5 kg/m3 rectangular unless components are given */
  readonly density: Measured;
  /** °C, −20–40 (0–40 with a residue); ± 0.5 °C rectangular unless components are given */
  readonly temperature: Measured;
  readonly basis: ExtractFree | undefined;
}

/** Stated error of the general formula against its own tables, kg/m3. */
const FORMULA_ERROR_KG_M3 = 0.005;

/**
 * Strength, % vol at 20 °C, from the density of a distillate, or of a liquid free of extract.
 *
 * OIML R 22 inverted. Refused unless distilled, or no solids were added and the residue is stated with its *u*. A distillate made up
 * to the sample's own volume at 20 °C has the sample's strength. Stated error 0.006 % vol of the formula beside the budget; the
 * formula's water is 998.2012 kg/m3 at 20 °C, so a meter set on 998.203 reads 0.002 kg/m3 high (0.001 % vol), which is not corrected.
 * @throws MetrologyError out of range; `extract-not-excluded`.
 */
export function alcoholDensity(input: AlcoholDensityInput): StrengthFinding {
  const basis = requireExtractFree(input.basis);
  const { density, temperature } = input;
  requireInRange('temperature', temperature.value, -20, 40, 'Cel');
  const residue = basis.kind === 'distilled' ? 0 : basis.residueGPerL;
  const found = strengthFromDensity(density.value, temperature.value, residue);
  const budget: Budget = { inputs: [], sensitivities: [] };
  const densityDefault = component('density, stated default', DEFAULTS.densityMeter, 'default/density-meter');
  addComponents(
    budget,
    { value: density.value, components: density.components ?? [densityDefault], unit: 'kg/m3' },
    found.perDensity,
  );
  addComponents(
    budget,
    {
      value: temperature.value,
      components: temperature.components ?? [defaultTemperatureComponent('temperature')],
      unit: 'Cel',
    },
    found.perKelvin,
  );
  addTerm(budget, formulaTerm(), found.perDensity);
  if (basis.kind === 'no-solids-added') addTerm(budget, residueTerm(basis), found.perResidue);
  const defaults = density.components === undefined || temperature.components === undefined;
  return {
    strengthPercent: propagate(found.strengthPercent, budget.inputs, budget.sensitivities),
    method: ALCOHOL_DENSITY,
    warnings: defaults ? ['No calibration was given for density or temperature: a stated default is used.'] : [],
    alcoholByMassPercent: 100 * found.alcoholMassFraction,
  };
}

function formulaTerm(): Parameters<typeof addTerm>[1] {
  return {
    name: 'general formula',
    value: 0,
    standardUncertainty: rectangular(FORMULA_ERROR_KG_M3),
    distribution: 'rectangular',
    origin: 'oiml-r22',
    unit: 'kg/m3',
  };
}

/** The residue on the budget; its origin is its own, because no other value depends on it. */
export function residueTerm(basis: Extract<ExtractFree, { kind: 'no-solids-added' }>): Parameters<typeof addTerm>[1] {
  return {
    name: 'residue',
    value: basis.residueGPerL,
    standardUncertainty: basis.residueStandardUncertaintyGPerL,
    origin: 'residue',
    unit: 'g/L',
  };
}
