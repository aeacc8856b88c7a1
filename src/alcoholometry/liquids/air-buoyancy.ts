import { requireInRange } from '../../metrology/problem.js';

/** Conventional density of air, kg/m3. Source: Reg. (EC) 2870/2000; JCGM 101 9.3. */
export const AIR_DENSITY_KG_M3 = 1.2;
/** Conventional density of weights, kg/m3. Source: JCGM 101 9.3.1.2. */
const WEIGHT_DENSITY_KG_M3 = 8000;

const WEIGHTS_IN_AIR = 1 - AIR_DENSITY_KG_M3 / WEIGHT_DENSITY_KG_M3;

/**
 * Density as weighed in air (apparent), kg/m3, from the true density `densityKgM3` (kg/m3, 500–2000).
 *
 * Air 1.2 kg/m3, weights 8000 kg/m3. Source: Reg. (EC) 2870/2000. Stated error: the pharmacopoeia's apparent densities
 * of ethanol within 0.09 kg/m3; real air varies by about 0.05 kg/m3.
 * @throws MetrologyError outside the range.
 */
export function apparentDensityKgM3(densityKgM3: number): number {
  requireInRange('density', densityKgM3, 500, 2000, 'kg/m3');
  return (densityKgM3 - AIR_DENSITY_KG_M3) / WEIGHTS_IN_AIR;
}

/**
 * True mass, kg, from a weighing in air (`indicationKg` ≥ 0) of a liquid of true density `densityKgM3` (500–2000).
 *
 * Source: as `apparentDensityKgM3`; about 0.105 % at 1000 kg/m3. Air inside or around the vessel is taken as tared.
 * @throws MetrologyError outside the range.
 */
export function massFromWeighingKg(indicationKg: number, densityKgM3: number): number {
  requireInRange('weighing', indicationKg, 0, 1e9, 'kg');
  requireInRange('density', densityKgM3, 500, 2000, 'kg/m3');
  return (indicationKg * WEIGHTS_IN_AIR) / (1 - AIR_DENSITY_KG_M3 / densityKgM3);
}

/**
 * Indication of a scale in air, kg, for a true mass (kg, ≥ 0) of a liquid of `densityKgM3`. Inverse of `massFromWeighingKg`.
 */
export function weighingFromMassKg(massKg: number, densityKgM3: number): number {
  requireInRange('mass', massKg, 0, 1e9, 'kg');
  requireInRange('density', densityKgM3, 500, 2000, 'kg/m3');
  return (massKg * (1 - AIR_DENSITY_KG_M3 / densityKgM3)) / WEIGHTS_IN_AIR;
}
