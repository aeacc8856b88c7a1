import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { drinkDensityKgM3 } from './drink.js';
import { ETHANOL_DENSITY_20_KG_M3 } from './ethanol-water.js';

interface EnergyInput {
  /** % vol at 20 °C, 0 to 100. */
  readonly strengthPercent: number;
  /** Real extract, °P, 0 to 60; all of it is then counted as carbohydrate. Give this or the next, or neither. */
  readonly extractPlato?: number;
  /** As analysed, g per 100 mL, 0 to 80. */
  readonly carbohydrateGPer100Ml?: number;
}

interface Energy {
  readonly kilojoulesPer100Ml: number;
  readonly kilocaloriesPer100Ml: number;
  readonly alcoholGPer100Ml: number;
  readonly carbohydrateGPer100Ml: number;
  readonly warnings: readonly string[];
}

/** Regulation (EU) 1169/2011 Annex XIV, kJ and kcal per g; alcohol as read there, carbohydrate from memory. */
const FACTORS = { alcohol: { kJ: 29, kcal: 7 }, carbohydrate: { kJ: 17, kcal: 4 } } as const;

/** Name, version and source of the method, for the answer. */
export const ENERGY_METHOD = {
  id: 'energy-eu-1169',
  version: '1.0.0',
  source: 'Regulation (EU) 1169/2011, Annex XIV',
} as const;

/**
 * Energy in 100 mL of a drink, unrounded, from its alcohol and carbohydrate by the factors of Regulation (EU) 1169/2011 Annex XIV.
 *
 * kJ and kcal have their own whole-number factors and are not converted into each other. Error: the factors are conventions; real
 * extract counted whole as carbohydrate is up to about a tenth too much (protein, minerals, glycerol in it; common practice, no source).
 * Acids, protein, fat and polyols are not counted.
 * @throws MetrologyError `out-of-range`, `not-finite`, `contradictory` where both extract and carbohydrate are given
 */
export function energyPer100Ml({ strengthPercent, extractPlato, carbohydrateGPer100Ml }: EnergyInput): Energy {
  requireInRange('strength', strengthPercent, 0, 100, '% vol');
  if (extractPlato !== undefined && carbohydrateGPer100Ml !== undefined) {
    throw new MetrologyError('contradictory', 'Give the extract or the carbohydrate, not both.', {
      pointer: 'extract',
    });
  }
  const warnings: string[] = [];
  let carbohydrate = requireInRange('carbohydrate', carbohydrateGPer100Ml ?? 0, 0, 80, 'g/(100 mL)');
  if (extractPlato !== undefined) {
    requireInRange('extract', extractPlato, 0, 60, '°P');
    carbohydrate = (extractPlato / 100) * (drinkDensityKgM3({ strengthPercent, extractPlato }, 20) / 10);
    warnings.push('The whole real extract is counted as carbohydrate; for a label have the carbohydrate analysed.');
  }
  const alcohol = (strengthPercent / 100) * (ETHANOL_DENSITY_20_KG_M3 / 10);
  return {
    kilojoulesPer100Ml: FACTORS.alcohol.kJ * alcohol + FACTORS.carbohydrate.kJ * carbohydrate,
    kilocaloriesPer100Ml: FACTORS.alcohol.kcal * alcohol + FACTORS.carbohydrate.kcal * carbohydrate,
    alcoholGPer100Ml: alcohol,
    carbohydrateGPer100Ml: carbohydrate,
    warnings,
  };
}
