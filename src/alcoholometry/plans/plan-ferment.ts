import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { R22_WATER_DENSITY_20_KG_M3 } from '../liquids/ethanol-water.js';
import { MAX_EXTRACT_PLATO, MIN_EXTRACT_PLATO, toExtract, type Gravity } from '../liquids/gravity-scales.js';
import { pureAlcoholFromMassL, type Liquid } from '../liquids/liquid.js';
import {
  apparentExtract,
  BALLING_LOSS,
  extractPerAlcohol,
  type ExtractShares,
  fermentedExcessKgM3,
  realExtract,
  solveAlcohol,
  strengthOf,
} from '../strength/composition.js';
import { sucroseSolutionDensityKgM3 } from '../liquids/sugar-solution.js';
import { kellWaterKgM3 } from '../liquids/water.js';

/** Expected end of fermentation; exactly one of the three is given. */
export interface Expectation {
  /** (original − apparent final) over original extract, 0 to 140 %; above 100 % the hydrometer sinks below water. */
  readonly apparentAttenuationPercent?: number;
  /** (original − real final) over original extract, 0 to 100 %. */
  readonly realAttenuationPercent?: number;
  /** On any gravity scale, at its reference temperature. */
  readonly finalGravity?: Gravity;
}

/** Composition of the drink by Balling's balance, % by mass. */
export interface Balance {
  readonly alcoholMassPercent: number;
  readonly realExtractPlato: number;
}

export interface Fermented extends Balance {
  readonly apparentExtractPlato: number;
  /** Density of the degassed drink at 20 °C, with the water of the SG scales. */
  readonly densityKgM3: number;
}

export interface FermentedMasses {
  readonly liquid: Liquid;
  readonly co2Kg: number;
  readonly yeastDryMatterKg: number;
}

/** Balling's balance, g per g of ethanol. Source: Nielsen et al. 2007. */
const CO2_PER_ETHANOL = 0.9565;
const YEAST_PER_ETHANOL = BALLING_LOSS - CO2_PER_ETHANOL;
/** Rounding of the solver, °P. */
const NOTHING_PLATO = 1e-9;

/**
 * Drink that results from an original extract and an expectation, by Balling and Tabarié together.
 *
 * Original extract −5 to 60 °P, `shares` of it sugars. Error: see `plan`.
 * @throws MetrologyError `contradictory` (not exactly one expectation), `no-solution` where the final gravity lies above the original or
 *   below what complete fermentation gives, `out-of-range`, `not-finite`
 */
export function ferment(originalExtractPlato: number, expectation: Expectation, shares?: ExtractShares): Fermented {
  const { alcoholMassPercent, realExtractPlato } = fermentUnchecked(originalExtractPlato, expectation, shares);
  if (alcoholMassPercent < -NOTHING_PLATO) {
    throw new MetrologyError('no-solution', 'The final gravity lies above the original gravity.', {
      pointer: 'finalGravity',
    });
  }
  if (realExtractPlato < -NOTHING_PLATO) {
    const driest = complete(fermentUnchecked(originalExtractPlato, { realAttenuationPercent: 100 }, shares));
    throw new MetrologyError(
      'no-solution',
      `From ${originalExtractPlato.toFixed(2)} °P even complete fermentation ends at ${driest.apparentExtractPlato.toFixed(2)} °P apparent, not below.`,
      { pointer: 'expectation', driestApparentExtractPlato: driest.apparentExtractPlato },
    );
  }
  return complete({ alcoholMassPercent, realExtractPlato });
}

/** Alcohol and real extract without refusing impossible values, for a search that passes through them. */
export function fermentUnchecked(
  originalExtractPlato: number,
  expectation: Expectation,
  shares?: ExtractShares,
): Balance {
  const perAlcohol = extractPerAlcohol(shares);
  const { apparentAttenuationPercent, realAttenuationPercent, finalGravity } = expectation;
  const given = [apparentAttenuationPercent, realAttenuationPercent, finalGravity].filter(
    (value) => value !== undefined,
  );
  if (given.length !== 1) {
    throw new MetrologyError(
      'contradictory',
      'Give exactly one of apparentAttenuation, realAttenuation and finalGravity.',
      { pointer: 'expectation' },
    );
  }
  requireInRange('originalExtract', originalExtractPlato, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO, '°P');
  if (realAttenuationPercent !== undefined) {
    requireInRange('realAttenuation', realAttenuationPercent, 0, 100, '%');
    const extract = originalExtractPlato * (1 - realAttenuationPercent / 100);
    const alcohol = (originalExtractPlato - extract) / (perAlcohol - (BALLING_LOSS / 100) * originalExtractPlato);
    return { alcoholMassPercent: alcohol, realExtractPlato: extract };
  }
  const excess =
    finalGravity === undefined
      ? excessOfAttenuation(originalExtractPlato, apparentAttenuationPercent ?? NaN)
      : toExtract(finalGravity).densityKgM3At20 - kellWaterKgM3(20);
  const alcohol = solveAlcohol(originalExtractPlato, excess, 20, 0, perAlcohol);
  return { alcoholMassPercent: alcohol, realExtractPlato: realExtract(originalExtractPlato, alcohol, perAlcohol) };
}

function excessOfAttenuation(originalExtractPlato: number, attenuationPercent: number): number {
  requireInRange('apparentAttenuation', attenuationPercent, 0, 140, '%');
  const apparent = originalExtractPlato * (1 - attenuationPercent / 100);
  requireInRange('apparentExtract', apparent, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO, '°P');
  return sucroseSolutionDensityKgM3(apparent / 100, 20) - kellWaterKgM3(20);
}

function complete({ alcoholMassPercent, realExtractPlato }: Balance): Fermented {
  return {
    alcoholMassPercent,
    realExtractPlato,
    apparentExtractPlato: apparentExtract(alcoholMassPercent, realExtractPlato),
    densityKgM3: kellWaterKgM3(20) + fermentedExcessKgM3(alcoholMassPercent / 100, realExtractPlato, 20),
  };
}

/** Liquid, CO2 and yeast that a mass of wash becomes; Balling's 100 g of drink come from 100 + 1.0665 A g of wash. */
export function drinkByMassLiquid(
  washMassKg: number,
  { alcoholMassPercent, realExtractPlato }: Balance,
): FermentedMasses {
  const drinkKg = (100 * washMassKg) / (100 + BALLING_LOSS * alcoholMassPercent);
  const alcoholKg = Math.max(0, (drinkKg * alcoholMassPercent) / 100);
  const strengthPercent = strengthOf(alcoholMassPercent, realExtractPlato);
  // The density is that of the balance, as in a finding from two gravities: a plan and its finding then agree.
  const densityKgM3 = R22_WATER_DENSITY_20_KG_M3 + fermentedExcessKgM3(alcoholMassPercent / 100, realExtractPlato, 20);
  return {
    liquid: {
      massKg: drinkKg,
      alcoholKg,
      extractKg: (drinkKg * realExtractPlato) / 100,
      volumeL: (1000 * drinkKg) / densityKgM3,
      strengthPercent: Math.max(0, strengthPercent),
      pureAlcoholL: pureAlcoholFromMassL(alcoholKg),
      extractPlato: realExtractPlato,
      densityKgM3,
    },
    co2Kg: alcoholKg * CO2_PER_ETHANOL,
    yeastDryMatterKg: alcoholKg * YEAST_PER_ETHANOL,
  };
}
