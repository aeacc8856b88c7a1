import { requireInRange } from '../../metrology/problem.js';
import { CIPM_WATER, KELL_WATER_DENOMINATOR_SLOPE, KELL_WATER_NUMERATOR } from '../tables/water.js';

/**
 * True density of air-free water, kg/m3, at `temperatureC` (°C, 0–40).
 *
 * Source: CIPM 2001 (Tanaka et al., Metrologia 38 (2001) 301). Stated error: 5e-5 kg/m3 against its own table, 1.2e-3 kg/m3 against
 * IAPWS-95; natural water and dissolved air change it by a few 1e-3 kg/m3.
 * @throws MetrologyError outside the range.
 */
export function waterDensityCipmKgM3(temperatureC: number): number {
  requireInRange('temperature', temperatureC, 0, 40, 'Cel');
  const { a1, a2, a3, a4, a5 } = CIPM_WATER;
  return a5 * (1 - ((temperatureC + a1) ** 2 * (temperatureC + a2)) / (a3 * (temperatureC + a4)));
}

const [N0 = 0, N1 = 0, N2 = 0, N3 = 0, N4 = 0, N5 = 0] = KELL_WATER_NUMERATOR;

/**
 * True density of water, kg/m3, at `t` (°C, 0–100, not checked): the water term of ICUMSA SPS-4 and of the SG scales here.
 *
 * Source: Kell, refitted to ITS-90 (Bettin, Spieweck). Stated uncertainty 0.006 kg/m3; at 20 °C it gives 998.2031, where CIPM gives
 * 998.2067 and OIML R 22 998.2012: the three are never mixed in one ratio.
 */
export function kellWaterKgM3(t: number): number {
  return (N0 + t * (N1 + t * (N2 + t * (N3 + t * (N4 + t * N5))))) / (1 + KELL_WATER_DENOMINATOR_SLOPE * t);
}

/** Slope of Kell's formula, kg/m3 per K, without the range check. */
export function kellWaterSlope(t: number): number {
  const denominator = 1 + KELL_WATER_DENOMINATOR_SLOPE * t;
  const numeratorSlope = N1 + t * (2 * N2 + t * (3 * N3 + t * (4 * N4 + t * 5 * N5)));
  return (numeratorSlope - kellWaterKgM3(t) * KELL_WATER_DENOMINATOR_SLOPE) / denominator;
}
