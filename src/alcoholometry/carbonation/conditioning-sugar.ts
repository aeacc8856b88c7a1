import { requireInRange } from '../../metrology/problem.js';
import {
  dissolvedCo2GPerL,
  dissolvedInGPerL,
  type CarbonatedLiquid,
  highCarbonationCautions,
  PRESSURE_CAUTIONS,
  warmStorageCautions,
} from './carbonation.js';
import { addMasses, liquidOfMasses, liquidOfVolume, pureAlcoholFromMassL, type LiquidSpec } from '../liquids/liquid.js';
import { CO2_GRAMS_PER_LITRE_PER_VOLUME, MOLAR_MASS_G, STANDARD_ATMOSPHERE_KPA } from '../tables/carbonation.js';
import { DEXTROSE_MOLAR_MASS, DEXTROSE_MONOHYDRATE_MOLAR_MASS } from '../tables/dextrose.js';

export type ConditioningSugar = 'sucrose' | 'dextrose-anhydrous' | 'dextrose-monohydrate';

export interface ConditioningInput extends LiquidSpec {
  /** Of the flat drink, L at 20 °C. */
  readonly volumeL: number;
  readonly sugar: ConditioningSugar;
  /** 0 to 8; litres of gas at 0 °C and 1 atm per litre. */
  readonly targetVolumesOfCO2: number;
  /** Highest temperature since the end of fermentation, 0 to 40 °C. The CO2 that escaped at it does not return. */
  readonly highestTemperatureC: number;
  /** 50 to 110 kPa; 101.325 by default. */
  readonly atmosphericPressureKPa?: number;
  /** Liquid whose solubility the CO2 still in it follows; water by default. */
  readonly liquid?: CarbonatedLiquid;
}

export interface Conditioning {
  readonly sugarKg: number;
  /** Per litre of flat drink. */
  readonly sugarGPerL: number;
  readonly residualVolumesOfCO2: number;
  readonly residualGPerL: number;
  readonly co2FromSugarGPerL: number;
  /** Litres of pure alcohol from the sugar, in the whole volume. */
  readonly pureAlcoholAddedL: number;
  /** Increase of strength by conditioning, % vol at 20 °C, with the volume of the fermented sugar included. */
  readonly strengthAddedPercent: number;
  readonly strengthAfterPercent: number;
  /** Of the degassed drink, L at 20 °C. */
  readonly volumeChangeL: number;
  readonly warnings: readonly string[];
}

/** Moles of hexose from a mole of each sugar, and its molar mass in g/mol. */
const SUGARS: Record<ConditioningSugar, { readonly hexoses: number; readonly molarMassG: number }> = {
  sucrose: { hexoses: 2, molarMassG: MOLAR_MASS_G.sucrose },
  'dextrose-anhydrous': { hexoses: 1, molarMassG: DEXTROSE_MOLAR_MASS },
  'dextrose-monohydrate': { hexoses: 1, molarMassG: DEXTROSE_MONOHYDRATE_MOLAR_MASS },
};

/** Name, version and source of the method, for the answer. */
export const CONDITIONING_METHOD = {
  id: 'conditioning-sugar',
  version: '1.0.0',
  source: 'Weiss, Marine Chemistry 2 (1974) 203; stoichiometry of alcoholic fermentation',
} as const;

/** Grams of CO2 from a gram of a sugar fermented whole: two moles a mole of hexose. Sucrose 0.5143, dextrose 0.4886, monohydrate 0.4442. */
export function co2YieldGPerG(sugar: ConditioningSugar): number {
  return (2 * SUGARS[sugar].hexoses * MOLAR_MASS_G.carbonDioxide) / SUGARS[sugar].molarMassG;
}

/** Grams of ethanol from a gram of a sugar fermented whole: two moles a mole of hexose. Sucrose 0.5383, dextrose 0.5114, monohydrate 0.4649. */
export function ethanolYieldGPerG(sugar: ConditioningSugar): number {
  return (2 * SUGARS[sugar].hexoses * MOLAR_MASS_G.ethanol) / SUGARS[sugar].molarMassG;
}

/**
 * Sugar to condition a drink in its closed container, net of the CO2 still in it, and what that adds to strength.
 *
 * Residual CO2 is that of equilibrium under the atmosphere at the highest temperature since fermentation (water, Weiss 1974: beer, by its own
 * fit, holds 4 to 11 % less). Sugar ferments whole by stoichiometry: CO2 and alcohol are upper bounds, a plan's balance with yeast growth gives
 * 0.946 of the alcohol from either sugar. 6 g/L sucrose add about 0.4 % vol. The head space, which takes a few per cent of the gas, is not counted.
 * Range: 0 to 8 volumes, 0 to 40 °C. Error: about 5 % of the CO2, unfermented sugar of the drink itself not known here.
 * @throws MetrologyError `out-of-range`, `not-finite`, `contradictory`
 */
export function conditioningSugar(input: ConditioningInput): Conditioning {
  const {
    volumeL,
    sugar,
    targetVolumesOfCO2,
    highestTemperatureC,
    atmosphericPressureKPa = STANDARD_ATMOSPHERE_KPA,
  } = input;
  requireInRange('volume', volumeL, 1e-6, 1e9, 'L');
  requireInRange('targetVolumesOfCO2', targetVolumesOfCO2, 0, 8);
  requireInRange('highestTemperature', highestTemperatureC, 0, 40, '°C');
  requireInRange('atmosphericPressure', atmosphericPressureKPa, 50, 110, 'kPa');
  const { warnings, ...drink } = liquidOfVolume(volumeL, input, 'drink');
  const residualGPerL = dissolvedInGPerL(input.liquid, highestTemperatureC, atmosphericPressureKPa);
  const wantedGPerL = targetVolumesOfCO2 * CO2_GRAMS_PER_LITRE_PER_VOLUME - residualGPerL;
  const co2FromSugarGPerL = Math.max(0, wantedGPerL);
  const sugarGPerL = co2FromSugarGPerL / co2YieldGPerG(sugar);
  const sugarKg = (sugarGPerL * volumeL) / 1000;
  const after = liquidOfMasses(
    addMasses(drink, {
      massKg: sugarKg * (1 - co2YieldGPerG(sugar)),
      alcoholKg: sugarKg * ethanolYieldGPerG(sugar),
      extractKg: 0,
    }),
  );
  return {
    sugarKg,
    sugarGPerL,
    residualVolumesOfCO2: residualGPerL / CO2_GRAMS_PER_LITRE_PER_VOLUME,
    residualGPerL,
    co2FromSugarGPerL,
    pureAlcoholAddedL: after.pureAlcoholL - drink.pureAlcoholL,
    strengthAddedPercent: after.strengthPercent - drink.strengthPercent,
    strengthAfterPercent: after.strengthPercent,
    volumeChangeL: after.volumeL - drink.volumeL,
    warnings: [...warnings, ...conditioningCautions(wantedGPerL, targetVolumesOfCO2), ...PRESSURE_CAUTIONS],
  };
}

interface SugarInPackage {
  readonly sugar: ConditioningSugar;
  /** Per litre of drink, 0 to 20. */
  readonly gramsPerLitre: number;
  /** Of the drink, L at 20 °C. */
  readonly volumeL: number;
  /** Highest temperature since the end of fermentation, 0 to 40 °C; `ASSUMED_HIGHEST_C` by default. */
  readonly highestTemperatureC?: number;
  /** CO2 in the drink before, where it was measured or the drink was carbonated, 0 to 8; else that of equilibrium at the highest temperature. */
  readonly volumesBefore?: number;
}

interface FromSugar {
  /** Litres of pure alcohol at 20 °C in the whole. */
  readonly pureAlcoholL: number;
  readonly volumesFromSugar: number;
  readonly volumesBefore: number;
  /** Both together. */
  readonly volumesOfCO2: number;
  readonly dissolvedGPerL: number;
  readonly warnings: readonly string[];
}

/** Taken where no temperature is on record: an ordinary ferment; common practice, no source. */
const ASSUMED_HIGHEST_C = 20;

/**
 * Alcohol that sugar gives in closed containers, and the whole CO2: that of the sugar and that in the drink before.
 *
 * Ferments whole by stoichiometry: upper bounds, as in `conditioningSugar`; 6 g/L sucrose are 0.41 L of pure alcohol in 100 L and 1.56
 * volumes. Range: 0 to 20 g/L. Error: 0 to −10 % of the sugar's share (yeast growth), and what the drink itself still ferments; a drink
 * that was never warmer than 4 °C holds 0.8 volumes more than one of 20 °C.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function alcoholFromSugar(input: SugarInPackage): FromSugar {
  const { sugar, gramsPerLitre, volumeL, highestTemperatureC = ASSUMED_HIGHEST_C } = input;
  requireInRange('gramsPerLitre', gramsPerLitre, 0, 20, 'g/L');
  requireInRange('volume', volumeL, 1e-6, 1e9, 'L');
  const volumesBefore =
    input.volumesBefore === undefined
      ? dissolvedCo2GPerL(highestTemperatureC, STANDARD_ATMOSPHERE_KPA) / CO2_GRAMS_PER_LITRE_PER_VOLUME
      : requireInRange('volumesBefore', input.volumesBefore, 0, 8);
  const fromSugarGPerL = gramsPerLitre * co2YieldGPerG(sugar);
  const volumesFromSugar = fromSugarGPerL / CO2_GRAMS_PER_LITRE_PER_VOLUME;
  const volumesOfCO2 = volumesBefore + volumesFromSugar;
  const dissolvedGPerL = volumesOfCO2 * CO2_GRAMS_PER_LITRE_PER_VOLUME;
  const isAssumed = input.volumesBefore === undefined && input.highestTemperatureC === undefined;
  return {
    pureAlcoholL: pureAlcoholFromMassL((gramsPerLitre * volumeL * ethanolYieldGPerG(sugar)) / 1000),
    volumesFromSugar,
    volumesBefore,
    volumesOfCO2,
    dissolvedGPerL,
    warnings: [
      ...(isAssumed
        ? [
            `The CO2 in the drink before is taken as that of a drink which was ${ASSUMED_HIGHEST_C} °C warm since fermentation. A colder one holds more (0.8 volumes more at 4 °C): give highestTemperature or volumesBefore.`,
          ]
        : []),
      ...conditioningCautions(fromSugarGPerL, volumesOfCO2),
      ...warmStorageCautions(ASSUMED_HIGHEST_C, Math.min(dissolvedGPerL, 8 * CO2_GRAMS_PER_LITRE_PER_VOLUME)),
      ...PRESSURE_CAUTIONS,
    ],
  };
}

function conditioningCautions(wantedGPerL: number, volumesOfCO2: number): string[] {
  const cautions = [
    'Only a drink that has finished fermenting may be conditioned: sugar still in it adds to the pressure. Weigh the sugar and mix it in evenly.',
  ];
  if (wantedGPerL < 0) cautions.unshift('The drink holds more CO2 than is wanted already: no sugar is needed.');
  return [...cautions, ...highCarbonationCautions(volumesOfCO2)];
}
