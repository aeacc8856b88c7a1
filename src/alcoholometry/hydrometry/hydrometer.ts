import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { drinkByMass, drinkDensityByMassKgM3, type Drink } from '../liquids/drink.js';
import { ethanolWaterDensityKgM3, massFractionFromDensity } from '../liquids/ethanol-water.js';
import {
  densityMark,
  scaleReferenceTemperatureC,
  SIXTY_FAHRENHEIT_C,
  specificGravity20FromDensity,
  type Gravity,
  type GravityScale,
} from '../liquids/gravity-scales.js';
import { sucroseMassFractionFromDensity, sucroseSolutionDensityKgM3 } from '../liquids/sugar-solution.js';
import { densityAt60FKgM3, massFractionFromUsProof, usProof } from './us-proof.js';

/** Cubic expansion of hydrometer glass, 1/K. Source: ISO 1768:1975 clause 3, a conventional value; glasses differ. */
export const GLASS_EXPANSION_PER_K = 25e-6;

/** Liquid in which the hydrometer floats; it determines the thermal expansion. */
export type HydrometerLiquid =
  { kind: 'sugar-solution' } | { kind: 'alcohol-water' } | ({ kind: 'finished-drink' } & Drink);

interface HydrometerReading {
  reading: Gravity;
  /** °C, 0–40 */
  sampleTemperatureC: number;
  liquid: HydrometerLiquid;
  /** 1/K, 0–1e-4; 25e-6 by default */
  glassExpansionPerK?: number;
}

interface CorrectedGravity {
  /** on the reading's scale; for 15/15 and 60/60 °F scales, whose values are not at 20 °C, on sg-20-20 */
  gravityAt20: Gravity;
  /** true density at the temperature of the sample, kg/m3 */
  densityKgM3: number;
  /** true density at 20 °C, kg/m3 */
  densityAt20KgM3: number;
}

/**
 * True density, kg/m3, of the liquid in which a hydrometer of the scale shows `gravity` at `temperatureC` (°C, −20–40). ρ(t) = mark (1 −
 * γ (t − t_ref)): the volume of the glass changes with temperature. Source: ISO 1768; constant mass.
 */
export function densityFromHydrometerKgM3(
  gravity: Gravity,
  temperatureC: number,
  glassExpansionPerK = GLASS_EXPANSION_PER_K,
): number {
  requireInRange('sampleTemperature', temperatureC, -20, 40, 'Cel');
  requireInRange('glassExpansion', glassExpansionPerK, 0, 1e-4, 'K-1');
  const growth = 1 - glassExpansionPerK * (temperatureC - scaleReferenceTemperatureC(gravity.scale));
  return densityMark(gravity).densityKgM3 * growth;
}

/**
 * Gravity at 20 °C from a hydrometer read at another temperature (°C, 0–40).
 *
 * Corrects for the expansion of the glass, the reference temperature of the scale and the expansion of the liquid, by ICUMSA SPS-4 (sugar
 * solution), OIML R 22 (alcohol–water), or both by Tabarié (finished drink, whose strength and extract are given). Source: ISO 1768;
 * check: 27 CFR 30.61 to the printed digit. Stated error 0.1 kg/m3 in addition to that of the instrument: an error of 5e-6/K of the glass
 * gives 0.1 kg/m3 at 40 °C. The surface tension is assumed to be that for which the instrument was made.
 * @throws MetrologyError out of range.
 */
export function correctHydrometer(input: HydrometerReading): CorrectedGravity {
  const { reading, sampleTemperatureC, liquid } = input;
  requireInRange('sampleTemperature', sampleTemperatureC, 0, 40, 'Cel');
  const density = densityFromHydrometerKgM3(reading, sampleTemperatureC, input.glassExpansionPerK);
  const densityAt20KgM3 = bringTo20(density, sampleTemperatureC, liquid);
  return {
    gravityAt20: gravityAt20(densityAt20KgM3, reading.scale),
    densityKgM3: density,
    densityAt20KgM3,
  };
}

function bringTo20(density: number, temperatureC: number, liquid: HydrometerLiquid): number {
  switch (liquid.kind) {
    case 'sugar-solution':
      return sucroseSolutionDensityKgM3(sucroseMassFractionFromDensity(density, temperatureC), 20);
    case 'alcohol-water':
      return ethanolWaterDensityKgM3(massFractionFromDensity(density, temperatureC), 20);
    case 'finished-drink': {
      const byMass = drinkByMass(liquid);
      return (density * drinkDensityByMassKgM3(byMass, 20)) / drinkDensityByMassKgM3(byMass, temperatureC);
    }
    default:
      throw new MetrologyError('unknown-liquid', 'The liquid is not in the list.', {
        pointer: 'liquid',
        allowed: ['sugar-solution', 'alcohol-water', 'finished-drink'],
      });
  }
}

function gravityAt20(densityKgM3: number, scale: GravityScale): Gravity {
  switch (scale) {
    case 'density-kg-m3':
      return { value: densityKgM3, scale };
    case 'plato':
      return { value: 100 * sucroseMassFractionFromDensity(densityKgM3, 20), scale };
    default:
      return { value: specificGravity20FromDensity(densityKgM3), scale: 'sg-20-20' };
  }
}

/**
 * True US proof from a proof hydrometer made for 60 °F that shows `readingProof` (0–200) at `temperatureC` (°C, −20–40).
 * Source: 27 CFR 30.61 as the check (193 at 75 °F is 189.5); OIML R 22 with the glass term.
 */
export function proofFromHydrometer(
  readingProof: number,
  temperatureC: number,
  glassExpansionPerK = GLASS_EXPANSION_PER_K,
): number {
  requireInRange('temperature', temperatureC, -20, 40, 'Cel');
  requireInRange('glassExpansion', glassExpansionPerK, 0, 1e-4, 'K-1');
  const mark = densityAt60FKgM3(massFractionFromUsProof(readingProof));
  const density = mark * (1 - glassExpansionPerK * (temperatureC - SIXTY_FAHRENHEIT_C));
  return usProof(massFractionFromDensity(density, temperatureC));
}
