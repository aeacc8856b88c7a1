import { ETHANOL_DENSITY_20_KG_M3 } from '../liquids/ethanol-water.js';
import type { FermentableKind } from './fermentables.js';

// Molar masses, kg/kmol, from the relative atomic masses of IUPAC: C 12.011, H 1.008, O 15.999.
const ETHANOL = 46.069;
const GLUCOSE = 180.156;
const GLUCOSE_MONOHYDRATE = 198.171;
const DISACCHARIDE = 342.297;

/** Mass of ethanol by mass of sugar, two molecules of ethanol from each hexose: nothing goes into yeast or by-products. */
const ETHANOL_BY_MASS: Readonly<Record<FermentableKind, number>> = {
  'dextrose-anhydrous': (2 * ETHANOL) / GLUCOSE,
  'dextrose-monohydrate': (2 * ETHANOL) / GLUCOSE_MONOHYDRATE,
  sucrose: (4 * ETHANOL) / DISACCHARIDE,
  malt: (4 * ETHANOL) / DISACCHARIDE,
  'malt-extract': (4 * ETHANOL) / DISACCHARIDE,
};

/**
 * Most pure alcohol that a fermentable could give, litres at 20 °C: an upper bound, which no ferment reaches. The extract of malt is taken as maltose.
 *
 * @param massKg 0 and more
 * @param extractYield extract over mass, 0 to 1; 1 for a sugar
 * Source: stoichiometry of the alcoholic fermentation (Gay-Lussac) and the density of ethanol by OIML R 22. Stated error: that of the molar masses, 1e-4.
 */
export const mostAlcoholL = (kind: FermentableKind, massKg: number, extractYield = 1): number =>
  (ETHANOL_BY_MASS[kind] * massKg * extractYield * 1000) / ETHANOL_DENSITY_20_KG_M3;
