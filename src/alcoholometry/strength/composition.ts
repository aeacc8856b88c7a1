import {
  ETHANOL_DENSITY_20_KG_M3,
  massFractionFromVolumePercent,
  r22DensityKgM3,
  R22_WATER_DENSITY_20_KG_M3,
} from '../liquids/ethanol-water.js';
import { AT_20, coefficientsAt, DEGREE, horner, hornerSlope, slopeCoefficientsAt } from '../liquids/r22-polynomial.js';
import { sugarExcess, sugarExcessSlope, SUGAR_TERMS, sugarTermsAt } from '../liquids/sugar-polynomial.js';
import { sucroseExcessKgM3, sucroseExcessPartials, sucroseMassFractionFromDensity } from '../liquids/sugar-solution.js';
import { kellWaterKgM3 } from '../liquids/water.js';

// Local constants: a look-up of a global is slow in an inner loop inside a VM context.
const { abs, max, min } = Math;

/** Balling: 2.0665 g of extract give 1 g of alcohol, 0.9565 g of CO2 and 0.11 g of yeast. */
export const BALLING_EXTRACT = 2.0665;
export const BALLING_LOSS = 1.0665;

const STEP_TOLERANCE = 1e-11;
const MAX_ITERATIONS = 60;
const LOWEST_ALCOHOL = -3;

/** Real extract, % by mass, that Balling's balance leaves beside `alcohol` (% by mass) of an original extract (°P). */
export function realExtract(originalExtract: number, alcohol: number): number {
  return originalExtract + alcohol * ((BALLING_LOSS / 100) * originalExtract - BALLING_EXTRACT);
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
 * possible, so that a distribution around zero can be drawn; they are refused later.
 */
export function solveAlcohol(
  originalExtractPlato: number,
  excessKgM3: number,
  temperatureC: number,
  convention: number,
): number {
  coefficientsAt(temperatureC, coefficients);
  sugarTermsAt(temperatureC, sugarTerms);
  const target = excessKgM3 + coefficients[0];
  const extractPerAlcohol = (BALLING_LOSS / 100) * originalExtractPlato - BALLING_EXTRACT;
  // Bracket: from slightly negative to where the extract would be −5 °P; the excess falls with alcohol all the way.
  let low = LOWEST_ALCOHOL;
  let high = min(100, (originalExtractPlato + 5) / -extractPerAlcohol);
  let alcohol = min(high, max(0, (3.9 * originalExtractPlato - excessKgM3) / (1.75 - 3.9 * extractPerAlcohol)));
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    const extract = originalExtractPlato + alcohol * extractPerAlcohol + convention;
    const difference = horner(coefficients, alcohol / 100) + sugarExcess(sugarTerms, extract / 100) - target;
    if (difference > 0) low = alcohol;
    else high = alcohol;
    const slope =
      (hornerSlope(coefficients, alcohol / 100) + sugarExcessSlope(sugarTerms, extract / 100) * extractPerAlcohol) /
      100;
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
export function solveComposition(originalExtractPlato: number, excessKgM3: number, temperatureC: number): Composition {
  const alcohol = solveAlcohol(originalExtractPlato, excessKgM3, temperatureC, 0);
  const extract = realExtract(originalExtractPlato, alcohol);
  slopeCoefficientsAt(temperatureC, slopes);
  const [, sugarSlope, sugarPerKelvin] = sucroseExcessPartials(extract / 100, temperatureC);
  const perAlcohol = hornerSlope(coefficients, alcohol / 100) / 100;
  const perExtract = sugarSlope / 100;
  const balling = (BALLING_LOSS / 100) * originalExtractPlato - BALLING_EXTRACT;
  const ballingPerOriginal = 1 + (BALLING_LOSS / 100) * alcohol;
  const total = perAlcohol + perExtract * balling;
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
    extractPerAlcoholAtDensity: -perAlcohol / perExtract,
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
