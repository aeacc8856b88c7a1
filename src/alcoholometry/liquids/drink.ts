import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import {
  ETHANOL_DENSITY_20_KG_M3,
  ethanolWaterDensityKgM3,
  ethanolWaterPartials,
  massFractionFromVolumePercent,
  R22_WATER_DENSITY_20_KG_M3,
  volumePercentFromMassFraction,
} from './ethanol-water.js';
import { MAX_EXTRACT_PLATO, MIN_EXTRACT_PLATO } from './gravity-scales.js';
import {
  sucroseExcessKgM3,
  sucroseExcessPartials,
  sucroseFractionFromConcentration,
  sucroseSolutionDensityKgM3,
} from './sugar-solution.js';

/** A degassed drink: strength in % vol at 20 °C, real extract in % by mass of the drink (°P, below zero a convention). */
export interface Drink {
  strengthPercent: number;
  extractPlato: number;
}

/** The same with alcohol by mass: fraction of the drink, 0–1. */
export interface DrinkByMass {
  alcoholMassFraction: number;
  extractPlato: number;
}

/**
 * The two solutions that make up the density of a drink, each by its own mass fraction: alcohol–water of the drink's strength by volume, and a
 * sucrose solution with the drink's grams of extract in a litre, both at 20 °C.
 */
interface DrinkParts {
  alcohol: number;
  sugar: number;
}

const STEP_TOLERANCE = 1e-13;
const MAX_ITERATIONS = 60;
const WATER_20 = R22_WATER_DENSITY_20_KG_M3;
const NO_SUCH_DRINK = 'No drink has so much alcohol together with so much extract.';

function contradictory(message: string): MetrologyError {
  return new MetrologyError('contradictory', message, { pointer: 'extract' });
}

function requireExtract(extractPlato: number): number {
  return requireInRange('extract', extractPlato, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO, '°P') / 100;
}

/** Density of the drink, and its slopes by the concentrations of alcohol and extract (kg/m3 each), at 20 °C. */
function at20({ alcohol, sugar }: DrinkParts): { density: number; perAlcohol: number; perExtract: number } {
  const { densityKgM3, perMassFraction } = ethanolWaterPartials(alcohol, 20);
  const [excess, perSugar] = sucroseExcessPartials(sugar, 20);
  return {
    density: densityKgM3 + excess,
    perAlcohol: perMassFraction / (densityKgM3 + alcohol * perMassFraction),
    perExtract: perSugar / (WATER_20 + excess + sugar * perSugar),
  };
}

/**
 * The parts of a drink given by mass: Newton's method on its density at 20 °C, which rises with both concentrations by less than they do.
 * @throws MetrologyError out of range, or `contradictory` where alcohol and extract exceed the whole.
 */
function drinkParts({ alcoholMassFraction, extractPlato }: DrinkByMass): DrinkParts {
  requireInRange('alcoholMassFraction', alcoholMassFraction, 0, 1);
  const extract = requireExtract(extractPlato);
  if (alcoholMassFraction + extract > 1) {
    throw contradictory('Alcohol and extract together make more than the whole drink.');
  }
  if (extract === 0) return { alcohol: alcoholMassFraction, sugar: 0 };
  let density = WATER_20;
  let parts = { alcohol: alcoholMassFraction, sugar: extract };
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    const strength = (100 * alcoholMassFraction * density) / ETHANOL_DENSITY_20_KG_M3;
    parts = {
      alcohol: massFractionFromVolumePercent(Math.min(100, strength)),
      sugar: sucroseFractionFromConcentration(extract * density, WATER_20),
    };
    const slopes = at20(parts);
    const perAlcohol = strength > 100 ? 0 : slopes.perAlcohol;
    const change = (slopes.density - density) / (1 - perAlcohol * alcoholMassFraction - slopes.perExtract * extract);
    density += change;
    if (Math.abs(change) <= STEP_TOLERANCE * density) break;
  }
  if (alcoholMassFraction * density > ETHANOL_DENSITY_20_KG_M3 * (1 + 1e-9)) throw contradictory(NO_SUCH_DRINK);
  return parts;
}

/** The parts of a drink given by strength (% vol at 20 °C) and extract. @throws MetrologyError as `drinkByMass` */
function partsOfDrink({ strengthPercent, extractPlato }: Drink): { parts: DrinkParts; byMass: DrinkByMass } {
  requireInRange('strength', strengthPercent, 0, 100, '%');
  const extract = requireExtract(extractPlato);
  const alcohol = massFractionFromVolumePercent(strengthPercent);
  if (extract === 0) return { parts: { alcohol, sugar: 0 }, byMass: { alcoholMassFraction: alcohol, extractPlato } };
  let density = ethanolWaterDensityKgM3(alcohol, 20);
  let sugar = 0;
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    sugar = sucroseFractionFromConcentration(extract * density, WATER_20);
    const slopes = at20({ alcohol, sugar });
    const change = (slopes.density - density) / (1 - slopes.perExtract * extract);
    density += change;
    if (Math.abs(change) <= STEP_TOLERANCE * density) break;
  }
  const alcoholMassFraction = (strengthPercent / 100) * (ETHANOL_DENSITY_20_KG_M3 / density);
  if (alcoholMassFraction + extract > 1 + 1e-12) throw contradictory(NO_SUCH_DRINK);
  return {
    parts: { alcohol, sugar },
    byMass: { alcoholMassFraction: Math.min(alcoholMassFraction, 1 - extract), extractPlato },
  };
}

/** Density of the parts of a drink at `temperatureC`, kg/m3: Tabarié's sum. */
function partsDensityKgM3({ alcohol, sugar }: DrinkParts, temperatureC: number): number {
  const alcoholWater = ethanolWaterDensityKgM3(alcohol, temperatureC);
  if (sugar === 0) return alcoholWater;
  requireInRange('temperature', temperatureC, 0, 40, 'Cel');
  return alcoholWater + sucroseExcessKgM3(sugar, temperatureC);
}

/**
 * True density, kg/m3, of a degassed drink at `temperatureC` (°C, 0–40; without extract −20–40 where liquid).
 *
 * Tabarié's sum, made up to volume, d_r = d_v − d_a + 1 (OIV-MA-AS2-03B): ρ = ρ(alcohol–water of the same strength by volume, t) + ρ(sucrose
 * solution with the same grams of extract in a litre, t) − ρ(water, t). The alcohol part is OIML R 22 with its own water; the sugar part is
 * ICUMSA SPS-4 less its own water: each part uses one formula for water only. Without extract it is R 22 exactly. Stated error: see
 * `drinkDensityRelativeU`. Made up to mass, as the balance of a fermentation is, it would be 0.4 to 0.9 % too heavy at 25 to 35 % vol with
 * 200 to 300 g/L.
 * @throws MetrologyError outside the range, or `contradictory` where alcohol and extract exceed the whole.
 */
export function drinkDensityByMassKgM3(drink: DrinkByMass, temperatureC: number): number {
  return partsDensityKgM3(drinkParts(drink), temperatureC);
}

/** `drinkDensityByMassKgM3` for a drink given by its strength in % vol at 20 °C (0–100). Same source, range and error. */
export function drinkDensityKgM3(drink: Drink, temperatureC: number): number {
  return partsDensityKgM3(partsOfDrink(drink).parts, temperatureC);
}

/** Relative half-width of the error of the density, over (alcohol by volume, 0–1) × (extract, kg in a litre). */
const HALF_WIDTH_PER_PRODUCT = 0.03;

/** Origin of that error: one for all drinks, because it is the formula's own. */
export const DRINK_DENSITY_ORIGIN = 'model/drink-density';

/**
 * Standard uncertainty, relative, of `drinkDensityByMassKgM3` by its formula alone: rectangular within 3 % of (alcohol by volume × kg of
 * extract in a litre).
 *
 * The half-width is 0.22 % at 30 % vol with 250 g/L, 0.006 % for a beer, nothing without alcohol or extract. Basis: up to 40 % vol with 400 g/L
 * the route by the specific volume of sugar (0.617 mL/g) lies inside it, and so do the analyses of five liqueurs that the tests name. Measured
 * deviations from Tabarié's sum are within its noise below 18 % ethanol with 5 % sucrose by mass and grow beyond (Hackbarth, J. Am. Soc.
 * Brew. Chem. 67 (2009) 146 and 69 (2011) 39, abstracts).
 */
export function drinkDensityRelativeU(drink: DrinkByMass): number {
  const density = drinkDensityByMassKgM3(drink, 20);
  const alcohol = (drink.alcoholMassFraction * density) / ETHANOL_DENSITY_20_KG_M3;
  const extractKgPerL = (Math.max(0, drink.extractPlato) * density) / 1e5;
  return (HALF_WIDTH_PER_PRODUCT * alcohol * extractKgPerL) / Math.sqrt(3);
}

/** Density of a drink with its exact slopes. */
interface DrinkPartials {
  densityKgM3: number;
  perAlcoholMassFraction: number;
  /** kg/m3 per °P */
  perExtractPlato: number;
  perKelvin: number;
}

/** `drinkDensityByMassKgM3` with its exact partial derivatives (implicit differentiation of the parts), at 0–40 °C. */
export function drinkPartials(drink: DrinkByMass, temperatureC: number): DrinkPartials {
  const parts = drinkParts(drink);
  requireInRange('temperature', temperatureC, 0, 40, 'Cel');
  const { densityKgM3, perMassFraction, perKelvin } = ethanolWaterPartials(parts.alcohol, temperatureC);
  const [excess, perSugar, sugarPerKelvin] = sucroseExcessPartials(parts.sugar, temperatureC);
  const [a, w] = [drink.alcoholMassFraction, drink.extractPlato / 100];
  const here = at20(parts);
  const whole = 1 - here.perAlcohol * a - here.perExtract * w;
  const perA = (here.perAlcohol * here.density) / whole;
  const perW = (here.perExtract * here.density) / whole;
  // Slopes of the parts' mass fractions by their concentrations at 20 °C.
  const alcoholAt20 = ethanolWaterPartials(parts.alcohol, 20);
  const alcoholBy = 1 / (alcoholAt20.densityKgM3 + parts.alcohol * alcoholAt20.perMassFraction);
  const sugarAt20 = sucroseExcessPartials(parts.sugar, 20);
  const sugarBy = 1 / (WATER_20 + sugarAt20[0] + parts.sugar * sugarAt20[1]);
  return {
    densityKgM3: densityKgM3 + excess,
    perAlcoholMassFraction: perMassFraction * alcoholBy * (here.density + a * perA) + perSugar * sugarBy * w * perA,
    perExtractPlato: (perMassFraction * alcoholBy * a * perW + perSugar * sugarBy * (here.density + w * perW)) / 100,
    perKelvin: perKelvin + sugarPerKelvin,
  };
}

/**
 * Strength, % vol at 20 °C, of a drink of given alcohol by mass and extract: 100 A ρ(drink, 20) / ρ(ethanol, 20).
 * Source: definition of OIML R 22 with the drink's density; error: as `drinkDensityByMassKgM3`.
 */
export function strengthOfDrinkPercent(drink: DrinkByMass): number {
  return volumePercentFromMassFraction(drinkParts(drink).alcohol);
}

/**
 * A drink by mass from its strength (% vol at 20 °C, 0–100) and extract (°P, −5–60): the inverse of `strengthOfDrinkPercent`.
 * Newton's method on the density, to 1e-9 relative.
 * @throws MetrologyError out of range, or `contradictory` where so much alcohol and extract do not fit together.
 */
export function drinkByMass(drink: Drink): DrinkByMass {
  return partsOfDrink(drink).byMass;
}

/**
 * Volume at 20 °C, L, of `volumeL` (≥ 0) of a drink measured at `temperatureC` (°C, 0–40): mass through its density.
 * Source: as `drinkDensityKgM3`; stated error 2e-5 relative for a step of 20 K (the model's error nearly cancels in the ratio).
 */
export function drinkVolumeAt20L(volumeL: number, temperatureC: number, drink: Drink): number {
  requireInRange('volume', volumeL, 0, 1e9, 'L');
  const { parts } = partsOfDrink(drink);
  return (volumeL * partsDensityKgM3(parts, temperatureC)) / partsDensityKgM3(parts, 20);
}

/** Volume of a gram of dissolved CO2, L/g, and its standard uncertainty: 34 ± 1.5 mL/mol, from memory. */
const CO2_VOLUME_L_PER_G = 0.034 / 44.009;
const CO2_VOLUME_U_L_PER_G = 0.0015 / 44.009;

/**
 * Volume free of dissolved CO2, L, of `volumeL` (≥ 0) that holds `dissolvedGPerL` (g per litre as gauged, 0–20).
 *
 * Partial molar volume of CO2 in water 34 mL/mol, u 1.5 mL/mol (from memory; published values 32–37); 5 g/L is 0.39 %. In a drink it is
 * taken as in water. Bubbles are not included: a foaming vessel cannot be gauged.
 */
export function degassedVolumeL(
  volumeL: number,
  dissolvedGPerL: number,
): { volumeL: number; standardUncertaintyL: number } {
  requireInRange('volume', volumeL, 0, 1e9, 'L');
  requireInRange('dissolvedCo2', dissolvedGPerL, 0, 20, 'g/L');
  const grams = volumeL * dissolvedGPerL;
  return { volumeL: volumeL - grams * CO2_VOLUME_L_PER_G, standardUncertaintyL: grams * CO2_VOLUME_U_L_PER_G };
}

/**
 * Volume at 20 °C, L, of unfermented wort of `extractPlato` (0–60 °P) measured at `temperatureC` (°C, 0–100).
 *
 * Mass through ICUMSA SPS-4 with water by Kell. Above 80 °C the sugar term is continued beyond its fit. Stated error 0.05 %
 * (common practice, no source); trub, foam and vessel expansion are not in it. Hot liquid scalds: read it without touching it.
 */
export function hotWortVolumeAt20L(volumeL: number, temperatureC: number, extractPlato: number): number {
  requireInRange('volume', volumeL, 0, 1e9, 'L');
  requireInRange('extract', extractPlato, 0, MAX_EXTRACT_PLATO, '°P');
  const fraction = extractPlato / 100;
  return (volumeL * sucroseSolutionDensityKgM3(fraction, temperatureC)) / sucroseSolutionDensityKgM3(fraction, 20);
}
