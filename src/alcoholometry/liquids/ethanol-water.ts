import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { AT_20, coefficientsAt, DEGREE, horner, hornerSlope, slopeCoefficientsAt } from './r22-polynomial.js';
import { snapToEdge } from './range-edge.js';
import { ETHANOL_WATER_FREEZING } from '../tables/ethanol-water-freezing.js';

// Local constants: a look-up of a global is slow in an inner loop inside a VM context.
const { abs, max } = Math;

/** Density of pure ethanol at 20 °C in the general formula, kg/m3 (Reg. (EC) 2870/2000 has 789.24). */
export const ETHANOL_DENSITY_20_KG_M3 = horner(AT_20, 1);
/** Density of water at 20 °C in the general formula, kg/m3; CIPM has 998.2067 and the two are never mixed in one ratio. */
export const R22_WATER_DENSITY_20_KG_M3 = horner(AT_20, 0);

const MIN_TEMPERATURE_C = -20;
const MAX_TEMPERATURE_C = 40;
/** Published freezing curves differ by about as much, and a clean mixture undercools by more. */
const FREEZING_MARGIN_K = 1;
const STEP_TOLERANCE = 1e-12;
const MAX_ITERATIONS = 60;

// Shared buffers, so that no call allocates memory; they hold nothing between calls.
const coefficients = new Float64Array(DEGREE + 1);
const slopes = new Float64Array(DEGREE + 1);

/**
 * Freezing temperature, °C, of ethanol–water of `massFraction` (0–0.32), by interpolation.
 * Source: CRC Handbook, 102nd ed.; stated error 0.5 K, near 30 % 1 K. Above 0.32 it lies under −22 °C: −22.44 is returned.
 */
export function freezingTemperatureC(massFraction: number): number {
  requireInRange('massFraction', massFraction, 0, 1);
  let [lowP, lowT] = [0, 0];
  for (const [p, t] of ETHANOL_WATER_FREEZING) {
    if (massFraction <= p) return p === lowP ? t : lowT + ((t - lowT) * (massFraction - lowP)) / (p - lowP);
    [lowP, lowT] = [p, t];
  }
  return lowT;
}

/** Smallest mass fraction that is still liquid at `t`, the inverse of the curve above with its margin. */
function liquidFrom(t: number): number {
  const shifted = t + FREEZING_MARGIN_K;
  let [lowP, lowT] = [0, 0];
  for (const [p, freezing] of ETHANOL_WATER_FREEZING) {
    if (shifted >= freezing) return freezing === lowT ? p : lowP + ((p - lowP) * (shifted - lowT)) / (freezing - lowT);
    [lowP, lowT] = [p, freezing];
  }
  return lowP;
}

function requireTemperature(temperatureC: number): void {
  requireInRange('temperature', temperatureC, MIN_TEMPERATURE_C, MAX_TEMPERATURE_C, 'Cel');
}

function requireLiquid(massFraction: number, temperatureC: number): void {
  requireInRange('massFraction', massFraction, 0, 1);
  requireTemperature(temperatureC);
  if (temperatureC >= 0) return;
  const limit = freezingTemperatureC(massFraction) - FREEZING_MARGIN_K;
  if (temperatureC < limit) {
    throw new MetrologyError('frozen', `This mixture freezes above ${temperatureC} °C.`, {
      pointer: 'temperature',
      range: [limit, MAX_TEMPERATURE_C],
      unit: 'Cel',
    });
  }
}

/**
 * True density, kg/m3, of ethanol–water of `massFraction` (0–1) at `temperatureC` (°C, −20–40, where it is liquid).
 *
 * Source: OIML R 22, general formula with 54 coefficients (part of them from memory, see the table's file). Stated error
 * against published tables: 0.005 kg/m3 (R 22), 8.5e-5 in specific gravity (USP). No published value below 10 °C was at hand.
 * @throws MetrologyError out of range, or `frozen` more than 1 K below the freezing curve.
 */
export function ethanolWaterDensityKgM3(massFraction: number, temperatureC: number): number {
  requireLiquid(massFraction, temperatureC);
  return r22DensityKgM3(massFraction, temperatureC);
}

/** The general formula without the range checks, for callers that have made them. */
export function r22DensityKgM3(massFraction: number, temperatureC: number): number {
  coefficientsAt(temperatureC, coefficients);
  return horner(coefficients, massFraction);
}

/** Density and its two slopes. */
interface EthanolWaterPartials {
  densityKgM3: number;
  /** kg/m3 per unit of mass fraction */
  perMassFraction: number;
  /** kg/m3 per K */
  perKelvin: number;
}

/** The density of `ethanolWaterDensityKgM3` with its exact partial derivatives; same source, range and errors. */
export function ethanolWaterPartials(massFraction: number, temperatureC: number): EthanolWaterPartials {
  requireLiquid(massFraction, temperatureC);
  coefficientsAt(temperatureC, coefficients);
  slopeCoefficientsAt(temperatureC, slopes);
  return {
    densityKgM3: horner(coefficients, massFraction),
    perMassFraction: hornerSlope(coefficients, massFraction),
    perKelvin: horner(slopes, massFraction),
  };
}

/**
 * Mass fraction (0–1) of ethanol–water of true density `densityKgM3` at `temperatureC` (°C, −20–40).
 *
 * Newton's method on the general formula inside a bracket, no look-up table: inverts to 1e-9 relative, near zero to 1e-14.
 * The density falls with the mass fraction everywhere in the range; below 0 °C the bracket begins where the mixture freezes
 * (less 1 K). Source and stated error: as `ethanolWaterDensityKgM3`; 0.1 kg/m3 is about 0.07 % vol near 5 %.
 * @throws MetrologyError out of range, the range of densities at that temperature in its details.
 */
export function massFractionFromDensity(densityKgM3: number, temperatureC: number): number {
  requireTemperature(temperatureC);
  const from = temperatureC < 0 ? liquidFrom(temperatureC) : 0;
  coefficientsAt(temperatureC, coefficients);
  const densest = horner(coefficients, from);
  const lightest = horner(coefficients, 1);
  const target = requireInRange('density', snapToEdge(densityKgM3, lightest, densest), lightest, densest, 'kg/m3');
  let low = from;
  let high = 1;
  let p = from + ((1 - from) * (densest - target)) / (densest - lightest);
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    let slope = 0;
    let value = coefficients[DEGREE] as number;
    for (let k = DEGREE - 1; k >= 0; k--) {
      slope = slope * p + value;
      value = value * p + coefficients[k];
    }
    const excess = value - target;
    if (excess > 0) low = p;
    else high = p;
    let next = p - excess / slope;
    if (!(next >= low && next <= high)) next = (low + high) / 2;
    if (abs(next - p) <= STEP_TOLERANCE) return next;
    p = next;
  }
  return p;
}

/**
 * Strength, % vol at 20 °C, of ethanol–water of `massFraction` (0–1): q = 100 p ρ(p, 20) / ρ(1, 20).
 * Source: OIML R 22 (definition and formula). Stated error 0.006 % vol against published tables.
 */
export function volumePercentFromMassFraction(massFraction: number): number {
  requireInRange('massFraction', massFraction, 0, 1);
  return volumePercent(AT_20, massFraction);
}

/** Mass fraction (0–1) of ethanol–water of `volumePercentAt20` (% vol at 20 °C, 0–100). To 1e-9; source: OIML R 22. */
export function massFractionFromVolumePercent(volumePercentAt20: number): number {
  requireInRange('strength', volumePercentAt20, 0, 100, '%');
  return massFractionFromStrength(AT_20, volumePercentAt20);
}

/** True density at 20 °C, kg/m3, of ethanol–water of `volumePercentAt20` (% vol at 20 °C, 0–100). Source: OIML R 22. */
export function densityAt20FromVolumePercent(volumePercentAt20: number): number {
  return horner(AT_20, massFractionFromVolumePercent(volumePercentAt20));
}

/**
 * Volume at 20 °C, L, of `volumeL` (≥ 0) of ethanol–water of `massFraction` measured at `temperatureC` (°C, −20–40).
 * Mass is conserved: V20 = V ρ(p, t) / ρ(p, 20). Source: OIML R 22; stated error 1e-5 relative. Vessel expansion is not in it.
 */
export function volumeAt20L(volumeL: number, temperatureC: number, massFraction: number): number {
  requireInRange('volume', volumeL, 0, 1e9, 'L');
  return (volumeL * ethanolWaterDensityKgM3(massFraction, temperatureC)) / horner(AT_20, massFraction);
}

/** Strength by volume of mass fraction `p` at the temperature whose coefficients `c` are. */
export function volumePercent(c: Float64Array, p: number): number {
  return (100 * p * horner(c, p)) / horner(c, 1);
}

/** The mass fraction whose strength by volume, at the temperature of the coefficients `c`, is `percent`. */
export function massFractionFromStrength(c: Float64Array, percent: number): number {
  const target = (percent / 100) * horner(c, 1);
  let [low, high] = [0, 1];
  // p·ρ(p) lies between 0 and ρ(1) and its slope between 0.58 and 1 of ρ(0): a start from the lighter end stays near.
  let p = target / horner(c, 0);
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    const density = horner(c, p);
    const excess = p * density - target;
    if (excess > 0) high = p;
    else low = p;
    let next = p - excess / (density + p * hornerSlope(c, p));
    if (!(next >= low && next <= high)) next = (low + high) / 2;
    if (abs(next - p) <= STEP_TOLERANCE * max(p, 1e-3)) return next;
    p = next;
  }
  return p;
}
