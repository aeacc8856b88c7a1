import { requireInRange } from '../../metrology/problem.js';
import { propagate } from '../../metrology/uncertainty.js';
import { addTerm, type Budget, type MethodDescriptor, type StrengthFinding } from './finding.js';

const MIXTURE: MethodDescriptor = {
  id: 'mixture',
  version: '1.0.0',
  source: 'conservation of mass and alcohol; pure alcohol over volume at 20 °C',
};

/** A computed mixture, with the signed contribution of each origin of uncertainty, litres. */
interface MixtureInput {
  /** litres at 20 °C */
  readonly pureAlcoholL: number;
  readonly volumeL: number;
  readonly pureAlcoholComponents: ReadonlyMap<string, number>;
  readonly volumeComponents: ReadonlyMap<string, number>;
  /** by origin, where not infinite */
  readonly degreesOfFreedom?: ReadonlyMap<string, number>;
  readonly realExtractPlato?: number;
}

/**
 * Strength, % vol at 20 °C, of a computed mixture (dilution, blend, fortification): 100 × pure alcohol / volume.
 *
 * An origin that affects alcohol and volume alike (the volume of an undiluted lot) cancels as it should. Range: volume above 0, pure
 * alcohol from 0 to the volume. Stated error: that of the parts; mixing itself conserves both exactly.
 * @throws MetrologyError out of range or not finite.
 */
export function mixture(input: MixtureInput): StrengthFinding {
  const { pureAlcoholL, volumeL, pureAlcoholComponents, volumeComponents } = input;
  requireInRange('volume', volumeL, 1e-6, 1e12, 'L');
  requireInRange('pureAlcohol', pureAlcoholL, 0, volumeL, 'L');
  const strength = (100 * pureAlcoholL) / volumeL;
  const budget: Budget = { inputs: [], sensitivities: [] };
  for (const origin of new Set([...pureAlcoholComponents.keys(), ...volumeComponents.keys()])) {
    const alcohol = pureAlcoholComponents.get(origin) ?? 0;
    const volume = volumeComponents.get(origin) ?? 0;
    const effect = (100 * alcohol - strength * volume) / volumeL;
    addTerm(
      budget,
      {
        name: origin,
        value: 0,
        standardUncertainty: Math.abs(effect),
        degreesOfFreedom: input.degreesOfFreedom?.get(origin),
        origin,
        unit: '%',
      },
      Math.sign(effect) || 1,
    );
  }
  if (budget.inputs.length === 0) {
    addTerm(budget, { name: 'none stated', value: 0, standardUncertainty: 0, origin: 'none', unit: '%' }, 1);
  }
  return {
    strengthPercent: propagate(strength, budget.inputs, budget.sensitivities),
    method: MIXTURE,
    warnings:
      pureAlcoholComponents.size + volumeComponents.size === 0 ? ['No part of the mixture states an uncertainty.'] : [],
    realExtractPlato: input.realExtractPlato,
  };
}
