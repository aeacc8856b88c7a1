import { MetrologyError, requireCount, requireInRange } from '../../metrology/problem.js';
import { R22_WATER_DENSITY_20_KG_M3 } from '../liquids/ethanol-water.js';
import { specificGravity20FromDensity, toExtract } from '../liquids/gravity-scales.js';
import { FERMENTABLES, hasYield, type FermentableKind } from './fermentables.js';
import { drinkByMassLiquid, ferment, type Expectation, type FermentedMasses } from './plan-ferment.js';
import {
  dextroseFromMonohydrateKg,
  dextroseSolutionDensityKgM3,
  sucroseSolutionDensityKgM3,
} from '../liquids/sugar-solution.js';
import type { ExtractShares } from '../strength/composition.js';
import { kellWaterKgM3 } from '../liquids/water.js';

/** A fermentable as weighed. Malt and malt extract count by their yield of extract, on the sucrose scale. */
export interface Fermentable {
  readonly kind: FermentableKind;
  /** kg, 0 to 10⁶. */
  readonly massKg: number;
  /** Malt and malt extract only, and then required: extract over mass as weighed, brewhouse losses included, 0.01 to 1. */
  readonly extractYield?: number;
}

export interface PlanInput {
  /** 1 to 20. */
  readonly fermentables: readonly Fermentable[];
  /** Of the wash or wort before yeast, L at 20 °C. */
  readonly volumeL: number;
  readonly expectation: Expectation;
}

interface PlanGravity {
  /** Apparent, 20/20 °C. */
  readonly specificGravity20: number;
  /** °P on the sucrose scale. */
  readonly plato: number;
}

export interface Plan extends FermentedMasses {
  readonly original: PlanGravity & { readonly densityKgM3: number };
  readonly final: PlanGravity;
  readonly extractKg: number;
  readonly washMassKg: number;
  /** Water to add, kg: the rest beside extract and the water of a monohydrate. */
  readonly waterKg: number;
  readonly realExtractPlato: number;
  readonly alcoholMassPercent: number;
  readonly strengthPercent: number;
  readonly apparentAttenuationPercent: number;
  /** After fermentation, degassed, yeast out, L at 20 °C. */
  readonly finalVolumeL: number;
  readonly fermentationVolumeChangeL: number;
  readonly pureAlcoholL: number;
  readonly warnings: readonly string[];
}

/** Name, version and source of the method, for the answer. */
export const PLAN_METHOD = {
  id: 'plan-mass-balance',
  version: '1.0.0',
  source: 'Balling mass balance (Nielsen et al. 2007), Tabarié, OIML R 22, ICUMSA SPS-4, CRC dextrose rows',
} as const;

export const MAXIMUM_WASH_FRACTION = 0.6;
const MAXIMUM_FERMENTABLES = 20;
const STRONG_PERCENT = 14;

/** Dissolved solids by kind: dextrose has its own density, all others that of the sucrose scale. */
export interface Solids {
  readonly dextroseKg: number;
  readonly otherKg: number;
  /** Part of the others that is sucrose. */
  readonly sucroseKg: number;
  /** Water that comes with a monohydrate, kg. */
  readonly boundWaterKg: number;
}

/** Solids that the fermentables bring into solution. Throws as `plan`. */
export function solidsOf(fermentables: readonly Fermentable[]): Solids {
  requireCount('fermentables', fermentables.length, 1, MAXIMUM_FERMENTABLES);
  const solids = { dextroseKg: 0, otherKg: 0, sucroseKg: 0, boundWaterKg: 0 };
  fermentables.forEach(({ kind, massKg, extractYield }, i) => {
    const pointer = `fermentables.${i}`;
    requireInRange(`${pointer}.mass`, massKg, 0, 1e6, 'kg');
    if (hasYield(kind) !== (extractYield !== undefined)) {
      const message = hasYield(kind)
        ? 'Malt and malt extract need their extract yield.'
        : 'Only malt and malt extract have an extract yield; a sugar dissolves completely.';
      throw new MetrologyError('contradictory', message, { pointer: `${pointer}.extractYield` });
    }
    switch (kind) {
      case 'dextrose-anhydrous':
        solids.dextroseKg += massKg;
        break;
      case 'dextrose-monohydrate': {
        const dryKg = dextroseFromMonohydrateKg(massKg);
        solids.dextroseKg += dryKg;
        solids.boundWaterKg += massKg - dryKg;
        break;
      }
      case 'sucrose':
        solids.otherKg += massKg;
        solids.sucroseKg += massKg;
        break;
      case 'malt':
      case 'malt-extract':
        solids.otherKg += massKg * requireInRange(`${pointer}.extractYield`, extractYield ?? NaN, 0.01, 1);
        break;
      default:
        throw new MetrologyError('unknown-fermentable', 'No such fermentable.', {
          pointer: `${pointer}.kind`,
          allowed: FERMENTABLES,
        });
    }
  });
  return solids;
}

/**
 * True density at 20 °C, kg/m³, of a solution whose solids are dextrose in the share given and sucrose for the rest.
 *
 * Solids 0 to 0.6 by mass; the densities of the two sugars are weighted by their shares. Error: 0.12 kg/m³ (sucrose), 0.054 kg/m³
 * (dextrose); linear interpolation for a mixture is an assumption.
 */
export function washDensityKgM3(solidsFraction: number, dextroseShare: number): number {
  return (
    dextroseShare * dextroseSolutionDensityKgM3(solidsFraction) +
    (1 - dextroseShare) * sucroseSolutionDensityKgM3(solidsFraction, 20)
  );
}

/**
 * Expected gravities, strength and yield of a wash or wort from its fermentables.
 *
 * The original extract is the reading on a sucrose scale, °P. Balling's balance knows each sugar: sucrose takes up water when it
 * ferments, and dextrose reads low (see `extractPerAlcohol`). The final
 * state comes from exactly one of apparent attenuation, real attenuation or final gravity, by Balling and Tabarié together. Range: solids
 * to 60 % of the wash. Error: that of the mass balance, standard uncertainty
 * 3 % of the strength for sugar washes (a named default), 2.4 % for malt (spread of 532 published brews). Without growth of yeast a sugar would
 * give 5.7 % more: that is what `conditioningSugar` states as its upper bound.
 * @throws MetrologyError `contradictory`, `out-of-range`, `not-finite`, `too-few`, `too-many`, `no-solution`
 */
export function plan({ fermentables, volumeL, expectation }: PlanInput): Plan {
  requireInRange('volume', volumeL, 1e-3, 1e9, 'L');
  return planOfSolids(solidsOf(fermentables), volumeL, expectation);
}

/** Shares of the sugars in the extract. */
export function sharesOf({ dextroseKg, otherKg, sucroseKg }: Solids): ExtractShares {
  const extractKg = dextroseKg + otherKg;
  return extractKg === 0
    ? { sucrose: 0, dextrose: 0 }
    : { sucrose: sucroseKg / extractKg, dextrose: dextroseKg / extractKg };
}

/** `plan` from solids already counted. */
export function planOfSolids(solids: Solids, volumeL: number, expectation: Expectation): Plan {
  const extractKg = solids.dextroseKg + solids.otherKg;
  const dextroseShare = extractKg === 0 ? 0 : solids.dextroseKg / extractKg;
  const densityKgM3 = washDensityKgM3(solidsFraction(extractKg / volumeL, dextroseShare), dextroseShare);
  // The density of the drink uses the water of R 22. The wash must use the same, or its volume would change without fermentation.
  const washMassKg = ((densityKgM3 - kellWaterKgM3(20) + R22_WATER_DENSITY_20_KG_M3) * volumeL) / 1000;
  const waterKg = washMassKg - extractKg - solids.boundWaterKg;
  if (waterKg < 0) {
    throw new MetrologyError('contradictory', 'The fermentables alone are more than that volume.', {
      pointer: 'volume',
    });
  }
  const original = toExtract({ value: densityKgM3, scale: 'density-kg-m3' });
  const after = ferment(original.extractPlato, expectation, sharesOf(solids));
  const fermented = drinkByMassLiquid(washMassKg, after);
  return {
    ...fermented,
    original: { specificGravity20: original.specificGravity20, plato: original.extractPlato, densityKgM3 },
    final: { specificGravity20: specificGravity20FromDensity(after.densityKgM3), plato: after.apparentExtractPlato },
    extractKg,
    washMassKg,
    waterKg,
    realExtractPlato: after.realExtractPlato,
    alcoholMassPercent: after.alcoholMassPercent,
    strengthPercent: fermented.liquid.strengthPercent,
    apparentAttenuationPercent:
      original.extractPlato === 0 ? 0 : 100 * (1 - after.apparentExtractPlato / original.extractPlato),
    finalVolumeL: fermented.liquid.volumeL,
    fermentationVolumeChangeL: fermented.liquid.volumeL - volumeL,
    pureAlcoholL: fermented.liquid.pureAlcoholL,
    warnings: planWarnings(fermented.liquid.strengthPercent, fermented.co2Kg),
  };
}

/** Mass fraction of solids in a solution that holds so many kg of them per litre at 20 °C. */
function solidsFraction(kgPerL: number, dextroseShare: number): number {
  const most = (MAXIMUM_WASH_FRACTION * washDensityKgM3(MAXIMUM_WASH_FRACTION, dextroseShare)) / 1000;
  requireInRange('extractPerVolume', kgPerL, 0, most, 'kg/L');
  let fraction = kgPerL;
  for (let i = 0; i < 200; i += 1) {
    const next = Math.min(
      MAXIMUM_WASH_FRACTION,
      (1000 * kgPerL) / washDensityKgM3(Math.min(fraction, MAXIMUM_WASH_FRACTION), dextroseShare),
    );
    if (Math.abs(next - fraction) <= 1e-15) return next;
    fraction = next;
  }
  return fraction;
}

function planWarnings(strengthPercent: number, co2Kg: number): string[] {
  const warnings: string[] = [];
  if (strengthPercent > STRONG_PERCENT) {
    warnings.push(
      `Above about ${STRONG_PERCENT} % vol many yeasts stop (common practice, no source): the strain decides.`,
    );
  }
  if (co2Kg > 0) {
    warnings.push(
      `Fermentation releases ${co2Kg.toPrecision(2)} kg of CO2. It collects in closed and low rooms and suffocates without warning. Ventilate and never seal the vessel; local codes and licensed practice decide.`,
    );
  }
  return warnings;
}
