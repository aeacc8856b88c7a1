import { MetrologyError, requireInRange } from '../../src/metrology/problem.js';
import { densityAt60FKgM3, massFractionFromUsProof } from '../../src/alcoholometry/hydrometry/us-proof.js';

/** Parts of 100 volumes of spirit at 60 °F, each part measured alone at 60 °F. Their sum is more than 100. */
export interface PartsBy100 {
  readonly alcohol: number;
  readonly water: number;
}

/**
 * Volumes of alcohol and of water, at 60 °F, in 100 volumes of spirit of `proof` (US degrees, 0 to 200).
 *
 * Source: the table of 27 CFR 30.66 (respective volumes of alcohol and water), computed from OIML R 22 at 60 °F. Error: within 0.01 of
 * the rows at hand.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function partsBy100At60F(proof: number): PartsBy100 {
  requireInRange('proof', proof, 0, 200, 'US proof');
  const massFraction = massFractionFromUsProof(proof);
  return {
    alcohol: proof / 2,
    water: (100 * densityAt60FKgM3(massFraction) * (1 - massFraction)) / densityAt60FKgM3(0),
  };
}

/**
 * Volumes of water at 60 °F to add to 100 volumes of spirit of `proof`, to reach `targetProof`, both at 60 °F.
 *
 * Rule of 27 CFR 30.66: water of the target times alcohol given over alcohol of the target, less water given. The ratio is not rounded.
 * The example in the regulation rounds 95.5/94.0 to 1.01 and obtains 1.84, where the rule gives 1.88. Range: target 0.02 up to the given
 * proof. Error: of R 22, 0.02 volumes.
 * @throws MetrologyError `no-solution` for a target above the given proof; `out-of-range`, `not-finite`
 */
export function waterToReachPer100At60F(proof: number, targetProof: number): number {
  const given = partsBy100At60F(proof);
  requireInRange('targetProof', targetProof, 0.02, 200, 'US proof');
  if (targetProof > proof) {
    throw new MetrologyError('no-solution', `Water cannot raise ${proof} proof to ${targetProof} proof.`, {
      pointer: 'targetProof',
      range: [0.02, proof],
      unit: 'US proof',
      value: targetProof,
    });
  }
  const target = partsBy100At60F(targetProof);
  return (target.water * given.alcohol) / target.alcohol - given.water;
}
