import {
  ETHANOL_DENSITY_20_KG_M3,
  massFractionFromVolumePercent,
  r22DensityKgM3,
  R22_WATER_DENSITY_20_KG_M3,
} from '../liquids/ethanol-water.js';
import { AT_20, coefficientsAt, DEGREE, horner, hornerSlope, slopeCoefficientsAt } from '../liquids/r22-polynomial.js';
import { sugarExcess, sugarExcessSlope, SUGAR_TERMS, sugarTermsAt } from '../liquids/sugar-polynomial.js';
import {
  DEXTROSE_ON_SUCROSE_SCALE,
  sucroseExcessKgM3,
  sucroseExcessPartials,
  sucroseMassFractionFromDensity,
} from '../liquids/sugar-solution.js';
import { kellWaterKgM3 } from '../liquids/water.js';

// Local constants: a look-up of a global is slow in an inner loop inside a VM context.
const { abs, max, min } = Math;

/** Balling: 2.0665 g of extract give 1 g of alcohol, 0.9565 g of CO2 and 0.11 g of yeast. */
const BALLING_EXTRACT = 2.0665;
export const BALLING_LOSS = 1.0665;

/** Sucrose becomes hexoses with a molecule of water: 360.312 g of them from 342.297 g, from the molar masses. */
const HEXOSES_FROM_SUCROSE = 360.312 / 342.297;

/** Shares of the extract by dry mass, 0–1; what is left is taken as that of malt. */
export interface ExtractShares {
  readonly sucrose: number;
  readonly dextrose: number;
}

/**
 * Grams of extract, as the sucrose scale reads it, that give a gram of alcohol.
 *
 * Balling's 2.0665 g are those of a sugar that takes up no water: 1.9553 g of glucose become 1 g of ethanol and 0.9553 g of CO2, and 0.11 g of
 * extract become yeast. Sucrose takes up water first, so that 1.9632 g do; 100 g of drink come from 100 + 1.0665 A g of wash all the same. Of
 * dextrose 2.0665 g do, which the scale reads as 2.036 (its solutions are lighter). Malt keeps Balling's figure, for which it was published.
 * Source: Balling as in Nielsen et al. 2007, stoichiometry, CRC dextrose rows; stated error: the model term.
 */
export function extractPerAlcohol({ sucrose, dextrose }: ExtractShares = NO_SUGAR): number {
  const read = 1 - dextrose * (1 - DEXTROSE_ON_SUCROSE_SCALE);
  return (BALLING_EXTRACT * read) / (1 + sucrose * (HEXOSES_FROM_SUCROSE - 1));
}

const NO_SUGAR: ExtractShares = { sucrose: 0, dextrose: 0 };

const STEP_TOLERANCE = 1e-11;
const MAX_ITERATIONS = 60;
const LOWEST_ALCOHOL = -3;

/** Real extract, % by mass, that Balling's balance leaves beside `alcohol` (% by mass) of an original extract (°P). */
export function realExtract(originalExtract: number, alcohol: number, perAlcohol = BALLING_EXTRACT): number {
  return originalExtract + alcohol * ((BALLING_LOSS / 100) * originalExtract - perAlcohol);
}

/** Original extract (°P) from alcohol and real extract (% by mass): Balling's formula. */
export function originalExtract(alcohol: number, realExtractPercent: number): number {
  return (100 * (BALLING_EXTRACT * alcohol + realExtractPercent)) / (100 + BALLING_LOSS * alcohol);
}

/**
 * Density of a fermented drink less that of water, kg/m3, independent of the formula for water: Tabarié's sum made up to **mass**, alcohol
 * (OIML R 22) and real extract (ICUMSA SPS-4) each at their percentage by mass of the drink. No range checks.
 *
 * The balance of a fermentation keeps this convention because the published data-set means bear it out: with Balling's balance it finds their
 * alcohol within −0.08, +0.02 and +0.06 % by mass. Made up to volume it is −0.11, −0.03 and +0.04 (means of 92, 71 and 221 brews, Cutaia,
 * Reid, Speers, J. Inst. Brew. 115 (2009) 318). Everywhere else a drink's density is made up to volume: see `drinkDensityByMassKgM3`. At the
 * strengths of a fermentation the two differ by 0.05 to 0.12 °P, which stands in the budget.
 */
export function fermentedExcessKgM3(alcoholMassFraction: number, extractPlato: number, temperatureC: number): number {
  const alcohol = r22DensityKgM3(alcoholMassFraction, temperatureC) - r22DensityKgM3(0, temperatureC);
  return alcohol + sucroseExcessKgM3(extractPlato / 100, temperatureC);
}

/** Alcohol and real extract of a fermented liquid, with the slopes that a budget needs. */
export interface Composition {
  /** % by mass */
  alcohol: number;
  /** % by mass */
  extract: number;
  /** % vol at 20 °C */
  strength: number;
  /**
   * derivatives of alcohol with respect to each input (per °P, per kg/m3 of the final excess, per °P of the convention)
   */
  alcoholSlopes: { original: number; excess: number; convention: number };
  extractSlopes: { original: number; excess: number; convention: number };
  /** % vol per % by mass of alcohol, per °P of real extract */
  strengthPerAlcohol: number;
  strengthPerExtract: number;
  /**
   * kg/m3 per K: change with temperature due to alcohol and extract, beyond that of water, at the temperature of the final reading
   */
  excessPerKelvin: number;
  /** °P of real extract per % by mass of alcohol at fixed density */
  extractPerAlcoholAtDensity: number;
}

const coefficients = new Float64Array(DEGREE + 1);
const slopes = new Float64Array(DEGREE + 1);
const sugarTerms = new Float64Array(SUGAR_TERMS);

/**
 * Alcohol (% by mass) that satisfies Balling's balance and Tabarié's sum at once: the drink's density exceeds water's by `excessKgM3` at
 * `temperatureC`. `convention` (°P) is added to the extract for the other convention of making up. Values slightly below zero are
 * possible, so that a distribution around zero can be drawn; they are refused later. `perAlcohol` is `extractPerAlcohol` of the sugar.
 */
export function solveAlcohol(
  originalExtractPlato: number,
  excessKgM3: number,
  temperatureC: number,
  convention: number,
  perAlcohol = BALLING_EXTRACT,
): number {
  coefficientsAt(temperatureC, coefficients);
  sugarTermsAt(temperatureC, sugarTerms);
  const target = excessKgM3 + coefficients[0];
  const balling = (BALLING_LOSS / 100) * originalExtractPlato - perAlcohol;
  // Bracket: from slightly negative to where the extract would be −5 °P; the excess falls with alcohol all the way.
  let low = LOWEST_ALCOHOL;
  let high = min(100, (originalExtractPlato + 5) / -balling);
  let alcohol = min(high, max(0, (3.9 * originalExtractPlato - excessKgM3) / (1.75 - 3.9 * balling)));
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    const extract = originalExtractPlato + alcohol * balling + convention;
    const difference = horner(coefficients, alcohol / 100) + sugarExcess(sugarTerms, extract / 100) - target;
    if (difference > 0) low = alcohol;
    else high = alcohol;
    const slope =
      (hornerSlope(coefficients, alcohol / 100) + sugarExcessSlope(sugarTerms, extract / 100) * balling) / 100;
    let next = alcohol - difference / slope;
    if (!(next >= low && next <= high)) next = (low + high) / 2;
    if (abs(next - alcohol) <= STEP_TOLERANCE) return next;
    alcohol = next;
  }
  return alcohol;
}

/** Strength, % vol at 20 °C, of alcohol and extract in % by mass, without range checks. */
export function strengthOf(alcohol: number, extract: number): number {
  return (alcohol * (horner(AT_20, alcohol / 100) + sucroseExcessKgM3(extract / 100, 20))) / ETHANOL_DENSITY_20_KG_M3;
}

/** `solveAlcohol` with real extract, strength and the exact slopes by implicit differentiation. */
export function solveComposition(
  originalExtractPlato: number,
  excessKgM3: number,
  temperatureC: number,
  perAlcohol = BALLING_EXTRACT,
): Composition {
  const alcohol = solveAlcohol(originalExtractPlato, excessKgM3, temperatureC, 0, perAlcohol);
  const extract = realExtract(originalExtractPlato, alcohol, perAlcohol);
  slopeCoefficientsAt(temperatureC, slopes);
  const [, sugarSlope, sugarPerKelvin] = sucroseExcessPartials(extract / 100, temperatureC);
  const alcoholSlope = hornerSlope(coefficients, alcohol / 100) / 100;
  const perExtract = sugarSlope / 100;
  const balling = (BALLING_LOSS / 100) * originalExtractPlato - perAlcohol;
  const ballingPerOriginal = 1 + (BALLING_LOSS / 100) * alcohol;
  const total = alcoholSlope + perExtract * balling;
  const alcoholSlopes = {
    original: (-perExtract * ballingPerOriginal) / total,
    excess: 1 / total,
    convention: -perExtract / total,
  };
  const [sugar20, sugarSlope20] = sucroseExcessPartials(extract / 100, 20);
  const density20 = horner(AT_20, alcohol / 100) + sugar20;
  return {
    alcohol,
    extract,
    strength: (alcohol * density20) / ETHANOL_DENSITY_20_KG_M3,
    alcoholSlopes,
    extractSlopes: {
      original: balling * alcoholSlopes.original + ballingPerOriginal,
      excess: balling * alcoholSlopes.excess,
      convention: balling * alcoholSlopes.convention,
    },
    strengthPerAlcohol: (density20 + (alcohol * hornerSlope(AT_20, alcohol / 100)) / 100) / ETHANOL_DENSITY_20_KG_M3,
    strengthPerExtract: (alcohol * sugarSlope20) / 100 / ETHANOL_DENSITY_20_KG_M3,
    excessPerKelvin: horner(slopes, alcohol / 100) - slopes[0] + sugarPerKelvin,
    extractPerAlcoholAtDensity: -alcoholSlope / perExtract,
  };
}

/**
 * Difference in real extract (°P) between the convention of Tabarié used here and the other one, which makes up to volume. Both have the
 * same grams in a litre. Without extract or without alcohol the difference is zero.
 */
export function conventionDifferencePlato(alcohol: number, extract: number): number {
  const byMass = fermentedExcessKgM3(alcohol / 100, extract, 20);
  const density = R22_WATER_DENSITY_20_KG_M3 + byMass;
  const distillate = massFractionFromVolumePercent(min(100, max(0, strengthOf(alcohol, extract))));
  // Converges fast: the density of the residue depends little on its sugar.
  let fraction = extract / 100;
  for (let i = 0; i < 3; i++) {
    fraction = ((extract / 100) * density) / (R22_WATER_DENSITY_20_KG_M3 + sucroseExcessKgM3(fraction, 20));
  }
  const byVolume = fermentedExcessKgM3(distillate, 100 * fraction, 20);
  const [, perExtract] = sucroseExcessPartials(extract / 100, 20);
  return (byMass - byVolume) / (perExtract / 100);
}

/** Apparent extract (°P) of alcohol and real extract: the reading of a sugar scale for that density at 20 °C. */
export function apparentExtract(alcohol: number, extract: number): number {
  const density = kellWaterKgM3(20) + fermentedExcessKgM3(alcohol / 100, extract, 20);
  return 100 * sucroseMassFractionFromDensity(density, 20);
}
