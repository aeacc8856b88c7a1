import { requireInRange } from '../../metrology/problem.js';
import { snapToEdge } from './range-edge.js';
import { sugarExcess, sugarExcessSlope, sugarSlopesAt, SUGAR_TERMS, sugarTermsAt } from './sugar-polynomial.js';
import { DEXTROSE_B, DEXTROSE_MOLAR_MASS, DEXTROSE_MONOHYDRATE_MOLAR_MASS } from '../tables/dextrose.js';
import { kellWaterKgM3, kellWaterSlope } from './water.js';

// Local constants: a look-up of a global is slow in an inner loop inside a VM context.
const { abs, max, min } = Math;

/** Below zero the formula is continued, a convention: a dry ferment reads below water. 0.990 is −2.6 °P. */
const MIN_SUCROSE_FRACTION = -0.05;
const MAX_SUCROSE_FRACTION = 0.85;
const MAX_DEXTROSE_FRACTION = 0.6;
const STEP_TOLERANCE = 1e-12;
const MAX_ITERATIONS = 60;

const TERMS_20 = new Float64Array(SUGAR_TERMS);
sugarTermsAt(20, TERMS_20);
const sugarTerms = new Float64Array(SUGAR_TERMS);
const sugarSlopes = new Float64Array(SUGAR_TERMS);

function requireSucrose(massFraction: number, temperatureC: number): void {
  requireInRange('massFraction', massFraction, MIN_SUCROSE_FRACTION, MAX_SUCROSE_FRACTION);
  requireInRange('temperature', temperatureC, 0, 100, 'Cel');
}

/**
 * Increase of the density of water by `massFraction` of sucrose at `temperatureC`, kg/m3: the sugar term of ICUMSA SPS-4. Independent of
 * the formula for water; no range checks.
 */
export function sucroseExcessKgM3(massFraction: number, temperatureC: number): number {
  sugarTermsAt(temperatureC, sugarTerms);
  return sugarExcess(sugarTerms, massFraction);
}

/** The sugar term with its two slopes (per unit of mass fraction, per K), without the range checks. */
export function sucroseExcessPartials(massFraction: number, temperatureC: number): [number, number, number] {
  sugarTermsAt(temperatureC, sugarTerms);
  sugarSlopesAt(temperatureC, sugarSlopes);
  return [
    sugarExcess(sugarTerms, massFraction),
    sugarExcessSlope(sugarTerms, massFraction),
    sugarExcess(sugarSlopes, massFraction),
  ];
}

/**
 * True density, kg/m3, of a sucrose solution of `massFraction` (−0.05–0.85) at `temperatureC` (°C, 0–100).
 *
 * Source: ICUMSA SPS-4 (coefficients from memory), water by Kell. Stated error against published rows at 15 to 20 °C:
 * 0.12 kg/m3 up to 40 %, older tables differ by up to 0.8 kg/m3 above 50 %. Above 80 °C the sugar term is continued (the
 * formula was fitted to about 80 °C), below zero mass fraction too, as a convention.
 * @throws MetrologyError outside the range.
 */
export function sucroseSolutionDensityKgM3(massFraction: number, temperatureC: number): number {
  requireSucrose(massFraction, temperatureC);
  return kellWaterKgM3(temperatureC) + sucroseExcessKgM3(massFraction, temperatureC);
}

/** Density of a sucrose solution and its exact slopes. */
interface SucrosePartials {
  densityKgM3: number;
  /** kg/m3 per unit of mass fraction */
  perMassFraction: number;
  /** kg/m3 per K */
  perKelvin: number;
}

/** `sucroseSolutionDensityKgM3` with its exact partial derivatives; same source, range and errors. */
export function sucroseSolutionPartials(massFraction: number, temperatureC: number): SucrosePartials {
  requireSucrose(massFraction, temperatureC);
  const [value, perMassFraction, perKelvin] = sucroseExcessPartials(massFraction, temperatureC);
  return {
    densityKgM3: kellWaterKgM3(temperatureC) + value,
    perMassFraction,
    perKelvin: kellWaterSlope(temperatureC) + perKelvin,
  };
}

/**
 * Mass fraction (−0.05–0.85) of a sucrose solution of true density `densityKgM3` at `temperatureC` (°C, 0–100).
 *
 * Newton in a bracket, to 1e-9 relative (near zero 1e-14 absolute). Source and stated error: as
 * `sucroseSolutionDensityKgM3`; 0.1 kg/m3 is about 0.025 % sugar.
 * @throws MetrologyError out of range, the densities possible at that temperature in its details.
 */
export function sucroseMassFractionFromDensity(densityKgM3: number, temperatureC: number): number {
  requireInRange('temperature', temperatureC, 0, 100, 'Cel');
  const water = kellWaterKgM3(temperatureC);
  sugarTermsAt(temperatureC, sugarTerms);
  const [lightest, densest] = [MIN_SUCROSE_FRACTION, MAX_SUCROSE_FRACTION].map(
    (w) => water + sugarExcess(sugarTerms, w),
  );
  const target = requireInRange('density', snapToEdge(densityKgM3, lightest, densest), lightest, densest, 'kg/m3');
  return solveIncreasing(sugarTerms, target - water, MIN_SUCROSE_FRACTION, MAX_SUCROSE_FRACTION);
}

/** The mass fraction whose sugar term at `temperatureC` is `excessKgM3`, without the range checks: clamped to −0.05–0.85. */
export function sucroseFractionFromExcess(excessKgM3: number, temperatureC: number): number {
  sugarTermsAt(temperatureC, sugarTerms);
  return solveIncreasing(sugarTerms, excessKgM3, MIN_SUCROSE_FRACTION, MAX_SUCROSE_FRACTION);
}

/**
 * Mass fraction of the sucrose solution that holds `concentrationKgM3` (kg in a cubic metre, that is g in a litre) at 20 °C, in water of the
 * density `waterKgM3`, without the range checks: clamped to −0.05–0.85. Newton's method; the concentration rises with the mass fraction everywhere. Source: ICUMSA SPS-4.
 */
export function sucroseFractionFromConcentration(concentrationKgM3: number, waterKgM3: number): number {
  let w = concentrationKgM3 / (waterKgM3 + 0.39 * concentrationKgM3);
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    const excess = sugarExcess(TERMS_20, w);
    const change =
      (concentrationKgM3 - w * (waterKgM3 + excess)) / (waterKgM3 + excess + w * sugarExcessSlope(TERMS_20, w));
    const next = min(MAX_SUCROSE_FRACTION, max(MIN_SUCROSE_FRACTION, w + change));
    if (abs(next - w) <= STEP_TOLERANCE) return next;
    w = next;
  }
  return w;
}

/** The w between `low` and `high` at which the increasing sum Σ c_k w^(k+1) is `target`. */
function solveIncreasing(c: Float64Array, target: number, low: number, high: number): number {
  let w = min(high, max(low, target / (c[0] + target * 0.35)));
  for (let i = 0; i < MAX_ITERATIONS; i++) {
    const difference = sugarExcess(c, w) - target;
    if (difference > 0) high = w;
    else low = w;
    let next = w - difference / sugarExcessSlope(c, w);
    if (!(next >= low && next <= high)) next = (low + high) / 2;
    if (abs(next - w) <= STEP_TOLERANCE) return next;
    w = next;
  }
  return w;
}

const dextroseTerms = Float64Array.from([...DEXTROSE_B, 0]);
const WATER_20 = kellWaterKgM3(20);

/**
 * True density at 20 °C, kg/m3, of a solution of anhydrous dextrose of `massFraction` (0–0.6).
 *
 * Source: fit through the CRC Handbook's rows, at most 0.054 kg/m3 from them. At 10 % it is 0.6 kg/m3 lighter than sucrose: a dextrose
 * wort read on a sucrose scale reads about 0.15 % low.
 * @throws MetrologyError outside the range.
 */
export function dextroseSolutionDensityKgM3(massFraction: number): number {
  requireInRange('massFraction', massFraction, 0, MAX_DEXTROSE_FRACTION);
  return WATER_20 + sugarExcess(dextroseTerms, massFraction);
}

/** Dry substance (anhydrous dextrose), kg, in `massKg` (≥ 0) of pure dextrose monohydrate: 90.909 %, from the molar masses. */
export function dextroseFromMonohydrateKg(massKg: number): number {
  requireInRange('mass', massKg, 0, 1e9, 'kg');
  return (massKg * DEXTROSE_MOLAR_MASS) / DEXTROSE_MONOHYDRATE_MOLAR_MASS;
}

/** Dextrose by mass at which its reading is taken: where most washes lie. From 5 to 20 % the ratio changes by 0.3 %. */
const DEXTROSE_AT = 0.1;

/** Reading of dissolved dextrose on the sucrose scale over its mass: 0.985, because its solutions are lighter. */
export const DEXTROSE_ON_SUCROSE_SCALE =
  sucroseMassFractionFromDensity(dextroseSolutionDensityKgM3(DEXTROSE_AT), 20) / DEXTROSE_AT;
