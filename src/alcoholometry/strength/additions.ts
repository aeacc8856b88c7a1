import { requireCount, requireInRange } from '../../metrology/problem.js';
import { propagate, type Uncertain } from '../../metrology/uncertainty.js';
import { BALLING_LOSS } from './composition.js';
import { addComponents, type Budget, type Measured, type UncertaintyComponent } from './finding.js';

/** Something put into the vessel while it fermented. */
export interface Addition {
  /** true mass in the vessel just before, kg; 1 % of it unless components are given */
  readonly vesselMassKg: Measured;
  /**
   * alcohol formed by then, % by mass, 0–20; as CO2 and yeast have left, the liquid represents a larger mass of the first wort
   */
  readonly alcoholByMassPercent?: number;
  /** true mass of what was added, kg; exact unless components are given */
  readonly addedMassKg: Measured;
  /** its extract, % by mass on the sucrose scale: 0 water, 100 dry sugar; exact unless components are given */
  readonly addedExtractPercent: Measured;
}

const MAX_ADDITIONS = 100;
const VESSEL_MASS_RELATIVE_U = 0.01;

/**
 * Effective original extract, °P, of a wort (−5–60 °P) after recorded additions: the extract of one wort that contains everything that
 * was added.
 *
 * Mass-weighted over what was in the vessel at each addition, expressed as the wort from which it came by Balling's balance (100 + 1.0665
 * A to 100). Exact as a mass balance; stated error: the budget, and 0.5 % of the addition where the alcohol formed by then is not given
 * and it has fermented half. An extract of dextrose is its reading on the sucrose scale, not its mass.
 * @throws MetrologyError out of range; more than 100 additions.
 */
export function effectiveOriginalExtract(original: Measured, additions: readonly Addition[]): Uncertain {
  requireInRange('originalExtract', original.value, -5, 60, '°P');
  requireCount('additions', additions.length, 0, MAX_ADDITIONS);
  const budget: Budget = { inputs: [], sensitivities: [] };
  const exact: UncertaintyComponent = { name: 'original extract', standardUncertainty: 0, origin: 'original-extract' };
  const components = original.components?.length ? original.components : [exact];
  addComponents(budget, { value: original.value, components, unit: '°P' }, 1);
  let extract = original.value;
  additions.forEach((addition, i) => {
    extract = addOne(budget, extract, addition, i);
  });
  return propagate(extract, budget.inputs, budget.sensitivities);
}

function addOne(budget: Budget, extract: number, addition: Addition, index: number): number {
  const { vesselMassKg, addedMassKg, addedExtractPercent, alcoholByMassPercent = 0 } = addition;
  const name = `additions.${index}`;
  requireInRange(`${name}.vesselMass`, vesselMassKg.value, 1e-6, 1e9, 'kg');
  requireInRange(`${name}.addedMass`, addedMassKg.value, 0, 1e9, 'kg');
  requireInRange(`${name}.addedExtract`, addedExtractPercent.value, 0, 100, '%');
  requireInRange(`${name}.alcoholByMass`, alcoholByMassPercent, 0, 20, '%');
  const asWort = 1 + (BALLING_LOSS * alcoholByMassPercent) / 100;
  const vessel = vesselMassKg.value * asWort;
  const added = addedMassKg.value;
  const total = vessel + added;
  const difference = addedExtractPercent.value - extract;
  // Earlier contributions are weighted with the part that was in the vessel.
  for (let i = 0; i < budget.sensitivities.length; i++) budget.sensitivities[i] *= vessel / total;
  const guess: UncertaintyComponent = {
    name: `mass in the vessel at addition ${index + 1}, stated default`,
    standardUncertainty: VESSEL_MASS_RELATIVE_U * vesselMassKg.value,
    origin: `default/vessel-mass/${index}`,
  };
  addComponents(
    budget,
    { value: vesselMassKg.value, components: vesselMassKg.components ?? [guess], unit: 'kg' },
    (-added * difference * asWort) / total ** 2,
  );
  addComponents(
    budget,
    { value: added, components: addedMassKg.components ?? [], unit: 'kg' },
    (vessel * difference) / total ** 2,
  );
  addComponents(
    budget,
    { value: addedExtractPercent.value, components: addedExtractPercent.components ?? [], unit: '%' },
    added / total,
  );
  return (vessel * extract + added * addedExtractPercent.value) / total;
}

/** The effective original extract as the original gravity of a mass balance: on the plato scale, its budget as components. */
export function asOriginalGravity(extract: Uncertain): {
  value: number;
  scale: 'plato';
  components: UncertaintyComponent[];
  sampleTemperatureC: number;
  temperatureComponents: UncertaintyComponent[];
} {
  const components = extract.budget.map((line): UncertaintyComponent => ({
    name: line.name,
    standardUncertainty: line.standardUncertainty,
    origin: line.origin,
    distribution: line.distribution,
    degreesOfFreedom: line.degreesOfFreedom ?? undefined,
    sensitivity: line.sensitivity,
    unit: line.unit,
  }));
  // An extract is a share by mass: its temperature was counted when it was read.
  return { value: extract.value, scale: 'plato', components, sampleTemperatureC: 20, temperatureComponents: [] };
}
