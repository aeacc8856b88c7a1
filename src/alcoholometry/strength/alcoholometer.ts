import { requireInRange } from '../../metrology/problem.js';
import { propagate } from '../../metrology/uncertainty.js';
import {
  densityAt20FromVolumePercent,
  ETHANOL_DENSITY_20_KG_M3,
  ethanolWaterPartials,
  massFractionFromVolumePercent,
} from '../liquids/ethanol-water.js';
import { GLASS_EXPANSION_PER_K } from '../hydrometry/hydrometer.js';
import { residueTerm } from './alcohol-density.js';
import { component, DEFAULTS, defaultTemperatureComponent } from './defaults.js';
import { requireExtractFree, strengthFromDensity, type ExtractFree } from './extract-free.js';
import {
  addComponents,
  addTerm,
  type Budget,
  type Measured,
  type MethodDescriptor,
  type StrengthFinding,
} from './finding.js';

const ALCOHOLOMETER: MethodDescriptor = {
  id: 'alcoholometer',
  version: '1.0.0',
  source: 'OIML R 22 with the glass term of ISO 1768 (25e-6/K)',
};

interface AlcoholometerInput {
  /** % vol, 0–100, on an instrument made for 20 °C; ± 0.4 % vol rectangular unless components are given */
  readonly reading: Measured;
  /** °C, −20–40 (0–40 with a residue); ± 0.5 °C rectangular unless components are given */
  readonly temperature: Measured;
  readonly basis: ExtractFree | undefined;
  /** 1/K; 25e-6 by default */
  readonly glassExpansionPerK?: number;
}

/**
 * Strength, % vol at 20 °C, from an alcoholometer in a liquid free of extract, read at any temperature.
 *
 * The mark is the density of that strength at 20 °C by OIML R 22; the glass term brings it to the sample's temperature, the inverse
 * gives the strength. Refused unless distilled, or no solids were added and the residue is stated with its *u*. Stated error
 * 0.02 % vol beside the budget.
 * @throws MetrologyError out of range; `extract-not-excluded`.
 */
export function alcoholometer(input: AlcoholometerInput): StrengthFinding {
  const basis = requireExtractFree(input.basis);
  const { reading, temperature, glassExpansionPerK: glass = GLASS_EXPANSION_PER_K } = input;
  requireInRange('reading', reading.value, 0, 100, '%');
  requireInRange('temperature', temperature.value, -20, 40, 'Cel');
  requireInRange('glassExpansion', glass, 0, 1e-4, 'K-1');
  const mark = densityAt20FromVolumePercent(reading.value);
  const growth = 1 - glass * (temperature.value - 20);
  const residue = basis.kind === 'distilled' ? 0 : basis.residueGPerL;
  const found = strengthFromDensity(mark * growth, temperature.value, residue);
  const budget: Budget = { inputs: [], sensitivities: [] };
  const readingDefault = component('reading, stated default', DEFAULTS.alcoholometerPercent, 'default/alcoholometer');
  addComponents(
    budget,
    { value: reading.value, components: reading.components ?? [readingDefault], unit: '%' },
    found.perDensity * growth * markSlope(reading.value),
  );
  addComponents(
    budget,
    {
      value: temperature.value,
      components: temperature.components ?? [defaultTemperatureComponent('temperature')],
      unit: 'Cel',
    },
    found.perKelvin - found.perDensity * glass * mark,
  );
  if (basis.kind === 'no-solids-added') addTerm(budget, residueTerm(basis), found.perResidue);
  const defaults = reading.components === undefined || temperature.components === undefined;
  return {
    strengthPercent: propagate(found.strengthPercent, budget.inputs, budget.sensitivities),
    method: ALCOHOLOMETER,
    warnings: defaults ? ['No calibration was given for reading or temperature: a stated default is used.'] : [],
    alcoholByMassPercent: 100 * found.alcoholMassFraction,
  };
}

/** kg/m3 at 20 °C per % vol of the scale. */
function markSlope(readingPercent: number): number {
  const p = massFractionFromVolumePercent(readingPercent);
  const { densityKgM3, perMassFraction } = ethanolWaterPartials(p, 20);
  return (perMassFraction * ETHANOL_DENSITY_20_KG_M3) / (100 * (densityKgM3 + p * perMassFraction));
}
