import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import {
  ETHANOL_DENSITY_20_KG_M3,
  ethanolWaterPartials,
  massFractionFromDensity,
  R22_WATER_DENSITY_20_KG_M3,
  volumePercentFromMassFraction,
} from '../liquids/ethanol-water.js';
import { sucroseExcessPartials, sucroseFractionFromConcentration } from '../liquids/sugar-solution.js';

/**
 * Reason why a strength may be computed from a density: the sample was distilled, or no solids were added and the residue is stated (g/L,
 * 0–5, with its standard uncertainty). 1 g/L of solids hides 0.2 to 0.3 % vol.
 */
export type ExtractFree =
  | { readonly kind: 'distilled' }
  | {
      readonly kind: 'no-solids-added';
      readonly residueGPerL: number;
      readonly residueStandardUncertaintyGPerL: number;
    };

const MAX_RESIDUE_G_PER_L = 5;

/** Refuses a density that may hide dissolved solids; rule `extract-not-excluded`. */
export function requireExtractFree(basis: ExtractFree | undefined): ExtractFree {
  if (basis?.kind === 'distilled') return basis;
  if (basis?.kind === 'no-solids-added') {
    requireInRange('residue', basis.residueGPerL, 0, MAX_RESIDUE_G_PER_L, 'g/L');
    requireInRange('residueStandardUncertainty', basis.residueStandardUncertaintyGPerL, 0, MAX_RESIDUE_G_PER_L, 'g/L');
    return basis;
  }
  throw new MetrologyError(
    'extract-not-excluded',
    'Density gives strength only for a distillate, or where no solids were added and the residue is stated with its uncertainty.',
    { pointer: 'basis', allowed: ['distilled', 'no-solids-added'] },
  );
}

/** Strength of a nearly extract-free liquid, with its derivatives. */
interface DensityStrength {
  readonly strengthPercent: number;
  readonly alcoholMassFraction: number;
  /** % vol per kg/m3, per K at fixed density, per g/L of residue */
  readonly perDensity: number;
  readonly perKelvin: number;
  readonly perResidue: number;
}

/**
 * Strength, % vol at 20 °C, of a liquid of true density `densityKgM3` at `temperatureC` with `residueGPerL` (at 20 °C) of solids.
 * OIML R 22; the residue counts as sugar by Tabarié, made up to volume. Slopes are exact. Range: as `massFractionFromDensity`, with residue
 * 0–40 °C.
 */
export function strengthFromDensity(densityKgM3: number, temperatureC: number, residueGPerL: number): DensityStrength {
  const sugar = sucroseFractionFromConcentration(residueGPerL, R22_WATER_DENSITY_20_KG_M3);
  if (residueGPerL > 0) requireInRange('temperature', temperatureC, 0, 40, 'Cel');
  const [excess, perSugar, sugarPerKelvin] = sucroseExcessPartials(sugar, temperatureC);
  const alcohol = massFractionFromDensity(densityKgM3 - excess, temperatureC);
  const here = ethanolWaterPartials(alcohol, temperatureC);
  const at20 = ethanolWaterPartials(alcohol, 20);
  const [excess20, perSugar20] = sucroseExcessPartials(sugar, 20);
  const perAlcohol = (100 * (at20.densityKgM3 + alcohol * at20.perMassFraction)) / ETHANOL_DENSITY_20_KG_M3;
  const perDensity = perAlcohol / here.perMassFraction;
  const sugarPerGram = 1 / (R22_WATER_DENSITY_20_KG_M3 + excess20 + sugar * perSugar20);
  return {
    strengthPercent: volumePercentFromMassFraction(alcohol),
    alcoholMassFraction: (alcohol * at20.densityKgM3) / (at20.densityKgM3 + excess20),
    perDensity,
    perKelvin: -perDensity * (here.perKelvin + (residueGPerL > 0 ? sugarPerKelvin : 0)),
    perResidue: -perDensity * perSugar * sugarPerGram,
  };
}
