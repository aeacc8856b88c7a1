import { requireInRange } from '../../metrology/problem.js';
import { dextroseFromMonohydrateKg } from '../liquids/sugar-solution.js';
import {
  addMasses,
  densityModelL,
  liquidOfMasses,
  liquidOfVolume,
  type Liquid,
  type LiquidSpec,
} from '../liquids/liquid.js';

/** Solids that dissolve whole. Dextrose counts by its dry mass. */
export type Solid = 'sucrose' | 'dextrose-anhydrous' | 'dextrose-monohydrate' | 'other-soluble';

export interface SolidsInput extends LiquidSpec {
  /** Of the liquid at 20 °C, L. */
  readonly volumeL: number;
  readonly solid: Solid;
  readonly massKg: number;
}

interface WithSolids {
  readonly start: Liquid;
  readonly result: Liquid;
  /** L at 20 °C: what the books call *solids dissolved*. */
  readonly volumeAddedL: number;
  readonly strengthChangePercent: number;
  /** Effect of the density formula's own error on the volume, L per standard uncertainty, signed. */
  readonly densityModelL: number;
  readonly warnings: readonly string[];
}

/**
 * Effect of dissolving sugar or another solid on volume, strength and extract. Nothing evaporates; the pure alcohol does not change.
 *
 * Mass 0 to 10⁶ kg; the result up to 60 °P. Volume by Tabarié with sucrose (ICUMSA SPS-4): 1 kg adds about 0.62 L. Error: a kg of
 * dextrose adds 0.006 L more than computed (at 10 % its solution is 0.6 kg/m³ lighter); for `other-soluble` not known, computed as
 * sucrose.
 * @throws MetrologyError `out-of-range`, `not-finite`, `contradictory`
 */
export function addSolids(input: SolidsInput): WithSolids {
  const { volumeL, solid } = input;
  const massKg = requireInRange('mass', input.massKg, 0, 1e6, 'kg');
  const { warnings, ...start } = liquidOfVolume(requireInRange('volume', volumeL, 1e-6, 1e9, 'L'), input, 'liquid');
  const extractKg = solid === 'dextrose-monohydrate' ? dextroseFromMonohydrateKg(massKg) : massKg;
  const result = liquidOfMasses(addMasses(start, { massKg, alcoholKg: 0, extractKg }));
  return {
    start,
    result,
    volumeAddedL: result.volumeL - start.volumeL,
    strengthChangePercent: result.strengthPercent - start.strengthPercent,
    densityModelL: densityModelL(input.densityKgM3 === undefined ? [start] : [], result),
    warnings:
      solid === 'other-soluble'
        ? [...warnings, 'The solid is computed as sucrose; measure the density of the result.']
        : warnings,
  };
}
