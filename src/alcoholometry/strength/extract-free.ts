import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { drinkDensityByMassKgM3, drinkPartials, strengthOfDrinkPercent, type DrinkByMass } from '../liquids/drink.js';
import { ETHANOL_DENSITY_20_KG_M3, ethanolWaterPartials, massFractionFromDensity } from '../liquids/ethanol-water.js';

/**
 * Reason why a strength may be computed from a density: the sample was distilled, or no solids were added and the residue is stated (g/L,
 * 0–5, with its standard uncertainty). 1 g/L of solids hides 0.29 % vol.
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

const RESIDUE_ROUNDS = 4;
/** kg/m3 per °P where sugar begins, ICUMSA SPS-4 at 20 °C. */
const SUCROSE_SLOPE_AT_ZERO = 3.851761;

/**
 * Strength, % vol at 20 °C, of a liquid of true density `densityKgM3` at `temperatureC` with `residueGPerL` (at 20 °C) of solids.
 * OIML R 22; the residue counts as sugar by Tabarié. Slopes are exact without residue, with it within 1e-3 relative. Range: as `massFractionFromDensity`, with residue 0–40 °C.
 */
export function strengthFromDensity(densityKgM3: number, temperatureC: number, residueGPerL: number): DensityStrength {
  let alcoholMassFraction = massFractionFromDensity(densityKgM3, temperatureC);
  let extractPlato = 0;
  // The residue is small, so that a few iterations converge.
  for (let i = 0; residueGPerL > 0 && i < RESIDUE_ROUNDS; i++) {
    extractPlato = (100 * residueGPerL) / drinkDensityByMassKgM3({ alcoholMassFraction, extractPlato }, 20);
    const added =
      drinkDensityByMassKgM3({ alcoholMassFraction, extractPlato }, temperatureC) -
      drinkDensityByMassKgM3({ alcoholMassFraction, extractPlato: 0 }, temperatureC);
    alcoholMassFraction = massFractionFromDensity(densityKgM3 - added, temperatureC);
  }
  const drink = { alcoholMassFraction, extractPlato };
  const here = slopesHere(drink, temperatureC);
  const at20 = drinkPartials(drink, 20);
  const perAlcohol =
    (100 * (at20.densityKgM3 + alcoholMassFraction * at20.perAlcoholMassFraction)) / ETHANOL_DENSITY_20_KG_M3;
  const perDensity = perAlcohol / here.perAlcohol;
  const platoPerGram = 100 / at20.densityKgM3;
  return {
    strengthPercent: strengthOfDrinkPercent(drink),
    alcoholMassFraction,
    perDensity,
    perKelvin: -perDensity * here.perKelvin,
    perResidue:
      platoPerGram *
      (-perDensity * here.perExtract + (100 * alcoholMassFraction * at20.perExtractPlato) / ETHANOL_DENSITY_20_KG_M3),
  };
}

/** Without residue the general formula's whole range is open, below 0 °C too, where no sugar term is known. */
function slopesHere(
  drink: DrinkByMass,
  temperatureC: number,
): { perAlcohol: number; perKelvin: number; perExtract: number } {
  if (drink.extractPlato === 0) {
    const { perMassFraction, perKelvin } = ethanolWaterPartials(drink.alcoholMassFraction, temperatureC);
    return { perAlcohol: perMassFraction, perKelvin, perExtract: SUCROSE_SLOPE_AT_ZERO };
  }
  const { perAlcoholMassFraction, perKelvin, perExtractPlato } = drinkPartials(drink, temperatureC);
  return { perAlcohol: perAlcoholMassFraction, perKelvin, perExtract: perExtractPlato };
}
