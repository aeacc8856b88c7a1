import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import {
  drinkByMass,
  drinkDensityByMassKgM3,
  drinkDensityRelativeU,
  drinkPartials,
  drinkVolumeAt20L,
  strengthOfDrinkPercent,
  type DrinkByMass,
} from './drink.js';
import { densityAt20FromVolumePercent, ETHANOL_DENSITY_20_KG_M3, R22_WATER_DENSITY_20_KG_M3 } from './ethanol-water.js';
import { MAX_EXTRACT_PLATO, MIN_EXTRACT_PLATO } from './gravity-scales.js';
import { sucroseMassFractionFromDensity } from './sugar-solution.js';
import { kellWaterKgM3 } from './water.js';

/** A degassed liquid as stated: its strength, and its extract or its measured density. */
export interface LiquidSpec {
  /** % vol at 20 °C, 0 to 100. */
  readonly strengthPercent: number;
  /**
   * Real extract, % by mass (°P), −5 to 60; zero by default. If the density is given, the extract is ignored; a disagreement gives a
   * warning.
   */
  readonly extractPlato?: number;
  /** True density at 20 °C, kg/m³, as measured; extract on the sucrose scale then follows from it. */
  readonly densityKgM3?: number;
}

/** Masses conserved in mixing, kg. Extract is on the sucrose scale. */
export interface Masses {
  readonly massKg: number;
  readonly alcoholKg: number;
  readonly extractKg: number;
}

/** An amount of liquid at 20 °C. */
export interface Liquid extends Masses {
  readonly volumeL: number;
  readonly strengthPercent: number;
  readonly pureAlcoholL: number;
  readonly extractPlato: number;
  readonly densityKgM3: number;
}

export const MAXIMUM_VOLUME_L = 1e9;
const ETHANOL_KG_PER_L = ETHANOL_DENSITY_20_KG_M3 / 1000;
/**
 * Difference between stated extract and extract from the density that gives a warning. The conventions of Tabarié differ by about 0.1 °P.
 */
const EXTRACT_DISAGREES_PLATO = 0.5;

/** Litres of pure alcohol at 20 °C in a mass of ethanol. Density of ethanol: OIML R 22. */
export function pureAlcoholFromMassL(alcoholKg: number): number {
  return alcoholKg / ETHANOL_KG_PER_L;
}

/**
 * Alcohol and extract by mass of a liquid as stated.
 *
 * With a measured density the alcohol by mass is strength times the density of ethanol over it, and the extract follows from Tabarié's
 * relation. Source and error: `drinkDensityByMassKgM3`; a density is off by 0.1 kg/m³ for 0.025 °P.
 * @throws MetrologyError `out-of-range`, `not-finite`, `contradictory` where density and strength do not fit together
 */
export function compositionOf(spec: LiquidSpec, name = 'liquid'): DrinkByMass & { warnings: string[] } {
  const { strengthPercent, densityKgM3, extractPlato } = spec;
  requireInRange(`${name}.strength`, strengthPercent, 0, 100, '% vol');
  if (extractPlato !== undefined) {
    requireInRange(`${name}.extract`, extractPlato, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO, '°P');
  }
  if (densityKgM3 === undefined)
    return { ...drinkByMass({ strengthPercent, extractPlato: extractPlato ?? 0 }), warnings: [] };
  requireInRange(`${name}.density`, densityKgM3, 780, 1300, 'kg/m3');
  const alcoholMassFraction = (strengthPercent / 100) * (ETHANOL_DENSITY_20_KG_M3 / densityKgM3);
  const found = alcoholMassFraction > 1 ? undefined : extractBesides(strengthPercent, alcoholMassFraction, densityKgM3);
  if (found === undefined) {
    throw new MetrologyError(
      'contradictory',
      `A liquid of ${strengthPercent} % vol cannot have a density of ${densityKgM3} kg/m3: its extract would lie outside ${MIN_EXTRACT_PLATO} to ${MAX_EXTRACT_PLATO} °P.`,
      { pointer: `${name}.density`, value: densityKgM3, unit: 'kg/m3' },
    );
  }
  const warnings: string[] = [];
  if (extractPlato !== undefined && Math.abs(extractPlato - found) > EXTRACT_DISAGREES_PLATO) {
    warnings.push(
      `The density and the strength of ${name} mean an extract of ${found.toFixed(2)} °P, not the ${extractPlato} °P stated; the density is used.`,
    );
  }
  return { alcoholMassFraction, extractPlato: found, warnings };
}

/** Tabarié's sum the other way round: the sugar solution that the alcohol leaves over, and its grams in a litre as °P of the drink. */
function extractBesides(strengthPercent: number, alcoholMassFraction: number, densityKgM3: number): number | undefined {
  const excess = densityKgM3 - densityAt20FromVolumePercent(strengthPercent);
  try {
    const sugar = sucroseMassFractionFromDensity(kellWaterKgM3(20) + excess, 20);
    const plato = (100 * sugar * (R22_WATER_DENSITY_20_KG_M3 + excess)) / densityKgM3;
    const fits = plato >= MIN_EXTRACT_PLATO && plato <= MAX_EXTRACT_PLATO && alcoholMassFraction + plato / 100 <= 1;
    return fits ? plato : undefined;
  } catch (error) {
    if (error instanceof MetrologyError) return undefined;
    throw error;
  }
}

/** An amount of a liquid as stated, by its volume at 20 °C in litres (0 to 10⁹). Errors as `compositionOf`. */
export function liquidOfVolume(volumeL: number, spec: LiquidSpec, name = 'liquid'): Liquid & { warnings: string[] } {
  requireInRange(`${name}.volume`, volumeL, 0, MAXIMUM_VOLUME_L, 'L');
  const composition = compositionOf(spec, name);
  const massKg = (volumeL * (spec.densityKgM3 ?? drinkDensityByMassKgM3(composition, 20))) / 1000;
  return {
    ...liquidOfMasses({
      massKg,
      alcoholKg: massKg * composition.alcoholMassFraction,
      extractKg: (massKg * composition.extractPlato) / 100,
    }),
    warnings: composition.warnings,
  };
}

/**
 * Volume at 20 °C and the other quantities that follow from the conserved masses: V = M / ρ(A/M, E/M), Tabarié's sum by volume of OIML R 22
 * and ICUMSA SPS-4.
 *
 * Error: of the density, see `drinkDensityByMassKgM3`. An empty amount has zero everywhere.
 * @throws MetrologyError `out-of-range` where the composition leaves the range of the density
 */
export function liquidOfMasses(masses: Masses): Liquid {
  const { massKg, alcoholKg, extractKg } = masses;
  if (massKg === 0) {
    return { ...masses, volumeL: 0, strengthPercent: 0, pureAlcoholL: 0, extractPlato: 0, densityKgM3: 0 };
  }
  const drink = { alcoholMassFraction: alcoholKg / massKg, extractPlato: (100 * extractKg) / massKg };
  const densityKgM3 = drinkDensityByMassKgM3(drink, 20);
  return {
    massKg,
    alcoholKg,
    extractKg,
    volumeL: (1000 * massKg) / densityKgM3,
    strengthPercent: strengthOfDrinkPercent(drink),
    pureAlcoholL: pureAlcoholFromMassL(alcoholKg),
    extractPlato: drink.extractPlato,
    densityKgM3,
  };
}

/**
 * Effect of the model term of the density on the volume of a mixture, L per standard uncertainty, signed: V (Σ m_i u_i / M − u). The masses of
 * the parts follow from their volumes through the same formula as the volume of the result, so a drink mixed with itself has none. A part that
 * was weighed, or whose density was measured, is not among `byVolume`.
 */
export function densityModelL(byVolume: readonly Liquid[], result: Liquid): number {
  if (result.massKg === 0) return 0;
  const relativeU = ({ massKg, alcoholKg, extractKg }: Liquid): number =>
    massKg === 0
      ? 0
      : drinkDensityRelativeU({ alcoholMassFraction: alcoholKg / massKg, extractPlato: (100 * extractKg) / massKg });
  const inputs = byVolume.reduce((sum, part) => sum + part.massKg * relativeU(part), 0);
  return result.volumeL * (inputs / result.massKg - relativeU(result));
}

/** Sum of the conserved masses. */
export function addMasses(...parts: readonly Masses[]): Masses {
  return {
    massKg: parts.reduce((sum, part) => sum + part.massKg, 0),
    alcoholKg: parts.reduce((sum, part) => sum + part.alcoholKg, 0),
    extractKg: parts.reduce((sum, part) => sum + part.extractKg, 0),
  };
}

/** Change of the volume of a mixture per kg of each conserved mass, L/kg; exact derivatives of `liquidOfMasses`. */
export interface PartialVolumes {
  /** A kg of mass that is neither alcohol nor extract. */
  readonly perMassKg: number;
  /** On top of `perMassKg`, where that kg is alcohol. */
  readonly perAlcoholKg: number;
  /** On top of `perMassKg`, where that kg is extract. */
  readonly perExtractKg: number;
}

/** Partial volumes at 20 °C; Σ of each times its mass is the volume itself, since volume is of the first degree in the masses. */
export function partialVolumes({ massKg, alcoholKg, extractKg }: Masses): PartialVolumes {
  const alcoholMassFraction = alcoholKg / massKg;
  const extractPlato = (100 * extractKg) / massKg;
  const slopes = drinkPartials({ alcoholMassFraction, extractPlato }, 20);
  const { densityKgM3: density, perAlcoholMassFraction, perExtractPlato } = slopes;
  const scale = 1000 / (density * density);
  return {
    perMassKg: 1000 / density + scale * (perAlcoholMassFraction * alcoholMassFraction + perExtractPlato * extractPlato),
    perAlcoholKg: -scale * perAlcoholMassFraction,
    perExtractKg: -scale * perExtractPlato * 100,
  };
}

/**
 * Volume at 20 °C, L, of a liquid with the volume `volumeL` at `temperatureC` (0 to 40 °C; without extract from −20 °C).
 */
export function volumeAt20OfL(volumeL: number, temperatureC: number, liquid: Liquid): number {
  return drinkVolumeAt20L(volumeL, temperatureC, liquid);
}
