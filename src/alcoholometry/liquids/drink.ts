import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import {
  ETHANOL_DENSITY_20_KG_M3,
  ethanolWaterDensityKgM3,
  ethanolWaterPartials,
  massFractionFromVolumePercent,
  r22DensityKgM3,
  R22_WATER_DENSITY_20_KG_M3,
  volumePercentFromMassFraction,
} from './ethanol-water.js';
import { MAX_EXTRACT_PLATO, MIN_EXTRACT_PLATO } from './gravity-scales.js';
import { snapToEdge } from './range-edge.js';
import { sucroseExcessKgM3, sucroseExcessPartials, sucroseSolutionDensityKgM3 } from './sugar-solution.js';

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

const STEP_TOLERANCE = 1e-13;
const MAX_ITERATIONS = 60;

function requireComposition({ alcoholMassFraction, extractPlato }: DrinkByMass): void {
  requireInRange('alcoholMassFraction', alcoholMassFraction, 0, 1);
  requireInRange('extract', extractPlato, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO, '°P');
  if (alcoholMassFraction + extractPlato / 100 > 1) {
    throw new MetrologyError('contradictory', 'Alcohol and extract together make more than the whole drink.', {
      pointer: 'extract',
    });
  }
}

/**
 * True density, kg/m3, of a degassed drink at `temperatureC` (°C, 0–40; without extract −20–40 where liquid).
 *
 * Tabarié: ρ = ρ(alcohol–water of the drink's alcohol by mass, t) + ρ(sucrose solution of its extract by mass, t) − ρ(water, t). The
 * alcohol part is OIML R 22 with its own water; the sugar part is ICUMSA SPS-4 less its own water: each part uses one formula for water
 * only. Without extract it is R 22 exactly. Stated error: the two conventions for making up (to mass, as here, or to volume) differ by
 * 0.05–0.12 °P, 0.2–0.5 kg/m3 near 5 % by mass; above about 20 % extract with alcohol it was not checked.
 * @throws MetrologyError outside the range, or `contradictory` where alcohol and extract exceed the whole.
 */
export function drinkDensityByMassKgM3(drink: DrinkByMass, temperatureC: number): number {
  requireComposition(drink);
  const alcoholWater = ethanolWaterDensityKgM3(drink.alcoholMassFraction, temperatureC);
  if (drink.extractPlato === 0) return alcoholWater;
  requireInRange('temperature', temperatureC, 0, 40, 'Cel');
  return alcoholWater + sucroseExcessKgM3(drink.extractPlato / 100, temperatureC);
}

/** `drinkDensityByMassKgM3` for a drink given by its strength in % vol at 20 °C (0–100). Same source, range and error. */
export function drinkDensityKgM3(drink: Drink, temperatureC: number): number {
  return drinkDensityByMassKgM3(drinkByMass(drink), temperatureC);
}

/** Density of a drink with its exact slopes. */
interface DrinkPartials {
  densityKgM3: number;
  perAlcoholMassFraction: number;
  /** kg/m3 per °P */
  perExtractPlato: number;
  perKelvin: number;
}

/** `drinkDensityByMassKgM3` with its exact partial derivatives, at 0–40 °C. */
export function drinkPartials(drink: DrinkByMass, temperatureC: number): DrinkPartials {
  requireComposition(drink);
  requireInRange('temperature', temperatureC, 0, 40, 'Cel');
  const alcohol = ethanolWaterPartials(drink.alcoholMassFraction, temperatureC);
  const [excess, perSugar, perKelvin] = sucroseExcessPartials(drink.extractPlato / 100, temperatureC);
  return {
    densityKgM3: alcohol.densityKgM3 + excess,
    perAlcoholMassFraction: alcohol.perMassFraction,
    perExtractPlato: perSugar / 100,
    perKelvin: alcohol.perKelvin + perKelvin,
  };
}

/** Density of the drink less the density of water, kg/m3, independent of the formula used for water. No range checks. */
export function drinkExcessKgM3(alcoholMassFraction: number, extractPlato: number, temperatureC: number): number {
  const alcohol = r22DensityKgM3(alcoholMassFraction, temperatureC) - r22DensityKgM3(0, temperatureC);
  return alcohol + sucroseExcessKgM3(extractPlato / 100, temperatureC);
}

/**
 * Strength, % vol at 20 °C, of a drink of given alcohol by mass and extract: 100 A ρ(drink, 20) / ρ(ethanol, 20).
 * Source: definition of OIML R 22 with the drink's density; error: as `drinkDensityByMassKgM3`, 0.05 % of the strength.
 */
export function strengthOfDrinkPercent(drink: DrinkByMass): number {
  if (drink.extractPlato === 0) return volumePercentFromMassFraction(drink.alcoholMassFraction);
  return (100 * drink.alcoholMassFraction * drinkDensityByMassKgM3(drink, 20)) / ETHANOL_DENSITY_20_KG_M3;
}

/**
 * A drink by mass from its strength (% vol at 20 °C, 0–100) and extract (°P, −5–60): the inverse of `strengthOfDrinkPercent`.
 * Newton's method in a bracket, to 1e-9 relative.
 * @throws MetrologyError out of range, or `contradictory` where so much alcohol and extract do not fit together.
 */
export function drinkByMass({ strengthPercent, extractPlato }: Drink): DrinkByMass {
  requireInRange('strength', strengthPercent, 0, 100, '%');
  requireInRange('extract', extractPlato, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO, '°P');
  if (extractPlato === 0) return { alcoholMassFraction: massFractionFromVolumePercent(strengthPercent), extractPlato };
  const excess = sucroseExcessKgM3(extractPlato / 100, 20);
  let [low, high] = [0, Math.min(1, 1 - extractPlato / 100)];
  const most = high * (r22DensityKgM3(high, 20) + excess);
  const target = snapToEdge((strengthPercent / 100) * ETHANOL_DENSITY_20_KG_M3, 0, most);
  if (target > most) {
    throw new MetrologyError('contradictory', 'No drink has so much alcohol together with so much extract.', {
      pointer: 'extract',
    });
  }
  let a = Math.min(high, target / (R22_WATER_DENSITY_20_KG_M3 + excess));
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    const { densityKgM3, perMassFraction } = ethanolWaterPartials(a, 20);
    const difference = a * (densityKgM3 + excess) - target;
    if (difference > 0) high = a;
    else low = a;
    let next = a - difference / (densityKgM3 + excess + a * perMassFraction);
    if (!(next >= low && next <= high)) next = (low + high) / 2;
    if (Math.abs(next - a) <= STEP_TOLERANCE) return { alcoholMassFraction: next, extractPlato };
    a = next;
  }
  return { alcoholMassFraction: a, extractPlato };
}

/**
 * Volume at 20 °C, L, of `volumeL` (≥ 0) of a drink measured at `temperatureC` (°C, 0–40): mass through its density.
 * Source: as `drinkDensityKgM3`; stated error 2e-5 relative for a step of 20 K (the model's error nearly cancels in the ratio).
 */
export function drinkVolumeAt20L(volumeL: number, temperatureC: number, drink: Drink): number {
  requireInRange('volume', volumeL, 0, 1e9, 'L');
  const byMass = drinkByMass(drink);
  return (volumeL * drinkDensityByMassKgM3(byMass, temperatureC)) / drinkDensityByMassKgM3(byMass, 20);
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
