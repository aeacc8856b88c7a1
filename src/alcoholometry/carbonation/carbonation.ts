import { requireInRange } from '../../metrology/problem.js';
import { waterDensityCipmKgM3 } from '../liquids/water.js';
import {
  BEER_SOLUBILITY,
  CO2_GRAMS_PER_LITRE_PER_VOLUME,
  GAS_CONSTANT_CM3_ATM,
  MOLAR_MASS_G,
  STANDARD_ATMOSPHERE_KPA,
  WEISS_SOLUBILITY,
  WEISS_VIRIAL,
} from '../tables/carbonation.js';

/** Liquids with a published solubility: pure water, and a beer of 12 °P original extract with 80 % apparent attenuation. */
export const CARBONATED_LIQUIDS = ['water', 'beer'] as const;
export type CarbonatedLiquid = (typeof CARBONATED_LIQUIDS)[number];

/** Conditions of a carbonation. Strength and extract change only the warnings, not the figures. */
export interface CarbonationConditions {
  /** Liquid whose solubility is taken; water by default. */
  readonly liquid?: CarbonatedLiquid;
  /** Of the liquid at equilibrium, 0 to 40 °C. */
  readonly temperatureC: number;
  /** 50 to 110 kPa absolute; one standard atmosphere, 101.325 kPa, by default. */
  readonly atmosphericPressureKPa?: number;
  /** % vol at 20 °C, 0 to 20. */
  readonly strengthPercent?: number;
  /** Real extract, °P, −1 to 30. */
  readonly extractPlato?: number;
}

interface Carbonation {
  /** Pressure above the atmosphere; negative where the content is below that at atmospheric pressure. */
  readonly gaugePressureKPa: number;
  readonly absolutePressureKPa: number;
  readonly dissolvedGPerL: number;
  /** Litres of gas at 0 °C and 1 atm in a litre of liquid. */
  readonly volumesOfCO2: number;
  /** Additional gauge pressure of a beer of 12 °P with the same content of CO2 (published fit, 0 to 40 °C); zero where the liquid is beer. */
  readonly beerUnderReadKPa: number;
  readonly warnings: readonly string[];
}

const MAXIMUM_VOLUMES = 8;
/** Weiss's virial equation is for pressures up to about 10 atm (from memory). */
const MAXIMUM_ABSOLUTE_KPA = 1000;
const ZERO_CELSIUS_K = 273.15;

/**
 * Solubility of CO2 in pure water, mol per kg of water and atmosphere of fugacity.
 *
 * Range 0 to 40 °C. Error: 0.7 % against Murray & Riley, 2.4 % against CRC beyond the rounding of its figures. Source: Weiss 1974.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function co2SolubilityMolKgAtm(temperatureC: number): number {
  requireTemperature('temperature', temperatureC);
  const hundreds = (temperatureC + ZERO_CELSIUS_K) / 100;
  const { a1, a2, a3 } = WEISS_SOLUBILITY;
  return Math.exp(a1 + a2 / hundreds + a3 * Math.log(hundreds));
}

/**
 * Fugacity over pressure of pure CO2, dimensionless, from the second virial coefficient.
 *
 * Range 0 to 40 °C, 0 to 1000 kPa absolute. Source: Weiss 1974. The equation's own error is far below that of the solubility.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function co2FugacityCoefficient(temperatureC: number, absolutePressureKPa: number): number {
  requireTemperature('temperature', temperatureC);
  requireInRange('absolutePressure', absolutePressureKPa, 0, MAXIMUM_ABSOLUTE_KPA, 'kPa');
  return Math.exp(virialPerKPa(temperatureC) * absolutePressureKPa);
}

/**
 * CO2 dissolved in water at equilibrium, g per litre of liquid at its temperature.
 *
 * The gas is taken as CO2 alone at the absolute pressure given, as pressure charts do: the water vapour in it (0.8 kPa at 4 °C, 2.3 kPa
 * at 20 °C, 7.4 kPa at 40 °C) adds to it in a closed container. Range 0 to 40 °C, 0 to 1000 kPa absolute. Error and source: as
 * `co2SolubilityMolKgAtm`.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function dissolvedCo2GPerL(temperatureC: number, absolutePressureKPa: number): number {
  const fugacityKPa = absolutePressureKPa * co2FugacityCoefficient(temperatureC, absolutePressureKPa);
  return fugacityKPa * gramsPerLitrePerKPa(temperatureC);
}

/**
 * Absolute pressure of CO2, kPa, at which water holds this content of it: the inverse of `dissolvedCo2GPerL` to 1e-12.
 *
 * @throws MetrologyError `out-of-range` also where the pressure would exceed 1000 kPa; `not-finite`
 */
export function co2AbsolutePressureKPa(temperatureC: number, dissolvedGPerL: number): number {
  requireTemperature('temperature', temperatureC);
  requireInRange('dissolved', dissolvedGPerL, 0, MAXIMUM_VOLUMES * CO2_GRAMS_PER_LITRE_PER_VOLUME, 'g/L');
  if (dissolvedGPerL === 0) return 0;
  const fugacityKPa = dissolvedGPerL / gramsPerLitrePerKPa(temperatureC);
  const b = virialPerKPa(temperatureC);
  // Newton's method on ln p + b·p = ln f. The left side is monotonic for |b|·p well below 1, which holds to 1000 kPa.
  let pressure = fugacityKPa;
  for (let i = 0; i < 50; i += 1) {
    const step = (Math.log(pressure / fugacityKPa) + b * pressure) / (1 / pressure + b);
    pressure -= step;
    if (pressure > 2 * MAXIMUM_ABSOLUTE_KPA || pressure <= 0) break;
    if (Math.abs(step) <= 1e-14 * pressure) break;
  }
  return requireInRange('absolutePressure', pressure, 0, MAXIMUM_ABSOLUTE_KPA, 'kPa');
}

/** CO2 dissolved in water or beer at equilibrium, g per litre. Range and errors: those of the liquid's own function. */
export function dissolvedInGPerL(
  liquid: CarbonatedLiquid | undefined,
  temperatureC: number,
  absolutePressureKPa: number,
): number {
  return liquid === 'beer'
    ? beerDissolvedGPerL(temperatureC, absolutePressureKPa)
    : dissolvedCo2GPerL(temperatureC, absolutePressureKPa);
}

function absolutePressureKPaOf(
  liquid: CarbonatedLiquid | undefined,
  temperatureC: number,
  dissolvedGPerL: number,
): number {
  if (liquid !== 'beer') return co2AbsolutePressureKPa(temperatureC, dissolvedGPerL);
  const absoluteKPa = beerAbsolutePressureKPa(temperatureC, dissolvedGPerL);
  return requireInRange('absolutePressure', absoluteKPa, 0, MAXIMUM_ABSOLUTE_KPA, 'kPa');
}

/**
 * Gauge pressure that keeps a wanted carbonation at equilibrium.
 *
 * `volumesOfCO2` 0 to 8 (litres of gas at 0 °C and 1 atm per litre). Water after Weiss 1974: in a beer the true pressure is higher, by
 * `beerUnderReadKPa` for one of 12 °P. With `liquid` beer that fit is taken itself. Range 0 to 40 °C, up to 1000 kPa absolute. Error for water
 * 0.7 % (Murray & Riley) to 2.4 % (CRC); for beer as `beerAbsolutePressureKPa`.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function gaugePressureForVolumes(conditions: CarbonationConditions, volumesOfCO2: number): Carbonation {
  const { temperatureC } = conditions;
  const atmosphericKPa = checkConditions(conditions);
  requireInRange('volumesOfCO2', volumesOfCO2, 0, MAXIMUM_VOLUMES);
  const dissolvedGPerL = volumesOfCO2 * CO2_GRAMS_PER_LITRE_PER_VOLUME;
  const absoluteKPa = absolutePressureKPaOf(conditions.liquid, temperatureC, dissolvedGPerL);
  return describe(conditions, absoluteKPa, dissolvedGPerL, atmosphericKPa);
}

/**
 * Carbonation at equilibrium under a gauge pressure, −110 to 1000 kPa with the absolute pressure from 0 to 1000 kPa.
 *
 * The inverse of `gaugePressureForVolumes`, same range, error and source.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function volumesForGaugePressure(conditions: CarbonationConditions, gaugePressureKPa: number): Carbonation {
  const atmosphericKPa = checkConditions(conditions);
  requireInRange('gaugePressure', gaugePressureKPa, -atmosphericKPa, MAXIMUM_ABSOLUTE_KPA - atmosphericKPa, 'kPa');
  const absoluteKPa = gaugePressureKPa + atmosphericKPa;
  const dissolvedGPerL = dissolvedInGPerL(conditions.liquid, conditions.temperatureC, absoluteKPa);
  requireInRange('volumesOfCO2', dissolvedGPerL / CO2_GRAMS_PER_LITRE_PER_VOLUME, 0, MAXIMUM_VOLUMES);
  return describe(conditions, absoluteKPa, dissolvedGPerL, atmosphericKPa);
}

/**
 * Absolute pressure, kPa, that a beer of 12 °P original extract and 80 % apparent attenuation would need for the same content.
 *
 * Range 0 to 40 °C. Source: instrument manual's published fit, five-decimal constant from memory; its error is not published. Volumes agree with a
 * fit to the published table of a brewing society within 1.6 % from 0 to 16 °C (that fit from memory).
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function beerAbsolutePressureKPa(temperatureC: number, dissolvedGPerL: number): number {
  requireTemperature('temperature', temperatureC);
  requireInRange('dissolved', dissolvedGPerL, 0, MAXIMUM_VOLUMES * CO2_GRAMS_PER_LITRE_PER_VOLUME, 'g/L');
  const { factor, a, b } = BEER_SOLUBILITY;
  return (100 * dissolvedGPerL) / (factor * Math.exp(a + b / (temperatureC + ZERO_CELSIUS_K)));
}

/** CO2 dissolved in such a beer, g per litre: the inverse of `beerAbsolutePressureKPa`, same source and range; 0 to 1000 kPa absolute. */
function beerDissolvedGPerL(temperatureC: number, absolutePressureKPa: number): number {
  requireTemperature('temperature', temperatureC);
  requireInRange('absolutePressure', absolutePressureKPa, 0, MAXIMUM_ABSOLUTE_KPA, 'kPa');
  const { factor, a, b } = BEER_SOLUBILITY;
  return (factor * absolutePressureKPa * Math.exp(a + b / (temperatureC + ZERO_CELSIUS_K))) / 100;
}

const HIGH_VOLUMES = 3;

/** The caution for a carbonation above 3 volumes, the same wherever one is answered; nothing up to there. */
export const highCarbonationCautions = (volumesOfCO2: number): string[] =>
  volumesOfCO2 > HIGH_VOLUMES
    ? [
        `Above ${HIGH_VOLUMES} volumes ordinary beer bottles may burst (common practice, no source): use heavier ones made for it.`,
      ]
    : [];

/** The pressure of the closed container at 40 °C in a sentence; nothing where it would have none. */
export const warmStorageCautions = (
  temperatureC: number,
  dissolvedGPerL: number,
  atmosphericKPa: number = STANDARD_ATMOSPHERE_KPA,
): string[] => {
  const warm = warmStorage(temperatureC, dissolvedGPerL, atmosphericKPa);
  return warm === undefined ? [] : [warm];
};

/** The cautions that belong to any answer about gas under pressure; local codes and licensed practice decide. */
export const PRESSURE_CAUTIONS: readonly string[] = [
  'A container bursts above its rated pressure: check the rating of vessel, keg, hose and relief device before gas is turned on.',
  'Glass: use only bottles made for carbonated drinks, uncracked and not refilled past their rating; a warm store raises the pressure.',
  'CO2 collects in closed and low rooms and suffocates without warning: ventilate and monitor where gas is used or a drink ferments.',
  'Local codes and licensed practice decide on pressure equipment and gas; this figure does not.',
];

function describe(
  conditions: CarbonationConditions,
  absolutePressureKPa: number,
  dissolvedGPerL: number,
  atmosphericKPa: number,
): Carbonation {
  const { liquid = 'water', temperatureC, strengthPercent = 0, extractPlato = 0 } = conditions;
  const gaugePressureKPa = absolutePressureKPa - atmosphericKPa;
  const beerUnderReadKPa =
    liquid === 'beer' ? 0 : beerAbsolutePressureKPa(temperatureC, dissolvedGPerL) - absolutePressureKPa;
  const warnings = [
    liquid === 'beer'
      ? 'Computed for a beer of 12 °P original extract with 80 % attenuation (published fit of an instrument manual). Another beer dissolves about 1 % less for each 3 °P more.'
      : `Computed for pure water. A beer of 12 °P dissolves less CO2: at this content its gauge pressure is about ${(beerUnderReadKPa / 100).toFixed(2)} bar higher. For beer give liquid.`,
    'At equilibrium: the liquid has taken up all that this pressure keeps in it at this temperature. A container at rest needs days for it (common practice: one to two weeks, no source).',
  ];
  if (liquid === 'water' && (strengthPercent > 0 || extractPlato > 0)) {
    warnings.push(
      'The figure does not include strength and extract. Extract lowers the solubility by about 1 % per 3 °P in beer and 1 % per 1 °Bx in sweet drinks.',
    );
  }
  if (strengthPercent > 10) {
    warnings.push('Above 10 % vol no published solubility was at hand: measure the carbonation.');
  }
  if (gaugePressureKPa < 0) {
    warnings.push('The wanted content is below that at atmospheric pressure: no positive gauge pressure gives it.');
  }
  const volumesOfCO2 = dissolvedGPerL / CO2_GRAMS_PER_LITRE_PER_VOLUME;
  warnings.push(...warmStorageCautions(temperatureC, dissolvedGPerL, atmosphericKPa));
  warnings.push(...highCarbonationCautions(volumesOfCO2));
  return {
    gaugePressureKPa,
    absolutePressureKPa,
    dissolvedGPerL,
    volumesOfCO2,
    beerUnderReadKPa,
    warnings: [...warnings, ...PRESSURE_CAUTIONS],
  };
}

/** A closed container warmed to 40 °C, taken as the worst store; the beer figure, since it is the higher one. */
function warmStorage(temperatureC: number, dissolvedGPerL: number, atmosphericKPa: number): string | undefined {
  const warmC = 40;
  if (temperatureC >= warmC || dissolvedGPerL === 0) return undefined;
  const gaugeBar = (beerAbsolutePressureKPa(warmC, dissolvedGPerL) - atmosphericKPa) / 100;
  if (gaugeBar <= 0) return undefined;
  return `Closed and warmed to ${warmC} °C, a beer with this carbonation has about ${gaugeBar.toFixed(1)} bar gauge.`;
}

function checkConditions(conditions: CarbonationConditions): number {
  const { temperatureC, atmosphericPressureKPa = STANDARD_ATMOSPHERE_KPA, strengthPercent, extractPlato } = conditions;
  requireTemperature('temperature', temperatureC);
  requireInRange('atmosphericPressure', atmosphericPressureKPa, 50, 110, 'kPa');
  if (strengthPercent !== undefined) requireInRange('strength', strengthPercent, 0, 20, '% vol');
  if (extractPlato !== undefined) requireInRange('extract', extractPlato, -1, 30, '°P');
  return atmosphericPressureKPa;
}

function requireTemperature(name: string, temperatureC: number): void {
  requireInRange(name, temperatureC, 0, 40, '°C');
}

/** B/(RT) per kPa, negative. */
function virialPerKPa(temperatureC: number): number {
  const kelvin = temperatureC + ZERO_CELSIUS_K;
  const [b0, b1, b2, b3] = WEISS_VIRIAL;
  const virial = b0 + kelvin * (b1 + kelvin * (b2 + kelvin * b3));
  return virial / (GAS_CONSTANT_CM3_ATM * kelvin * STANDARD_ATMOSPHERE_KPA);
}

/** Grams of CO2 in a litre of water per kPa of fugacity. */
function gramsPerLitrePerKPa(temperatureC: number): number {
  const kgWaterPerL = waterDensityCipmKgM3(temperatureC) / 1000;
  return (co2SolubilityMolKgAtm(temperatureC) / STANDARD_ATMOSPHERE_KPA) * MOLAR_MASS_G.carbonDioxide * kgWaterPerL;
}
