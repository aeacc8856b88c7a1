import type { GravityScale } from '../liquids/gravity-scales.js';
import { rectangular, type UncertaintyComponent } from './finding.js';

/** A stated default, used where there is no calibration record or where it has lapsed. */
interface StatedDefault {
  readonly standardUncertainty: number;
  readonly unit: string;
  readonly distribution: 'normal' | 'rectangular';
  readonly basis: string;
}

const NO_SOURCE = 'common practice, no source';

function within(halfWidth: number, unit: string, basis: string): StatedDefault {
  return { standardUncertainty: rectangular(halfWidth), unit, distribution: 'rectangular', basis };
}

/** Stated defaults by quantity. Each names its basis; an answer that uses one says so. */
export const DEFAULTS = {
  hydrometerSg: within(0.001, '1', `± one point; ${NO_SOURCE}`),
  hydrometerPlato: within(0.25, '°P', `± one point of specific gravity; ${NO_SOURCE}`),
  density: within(1, 'kg/m3', `± one point of specific gravity; ${NO_SOURCE}`),
  densityMeter: within(0.5, 'kg/m3', `portable density meter; ${NO_SOURCE}`),
  thermometerC: within(0.5, 'Cel', `± 0.5 °C; ${NO_SOURCE}`),
  unknownTemperatureC: within(5, 'Cel', `taken as 20 ± 5 °C when it was not read; ${NO_SOURCE}`),
  alcoholometerPercent: within(0.4, '%', 'limit for 1 % divisions, German verification rules of 1907/1911'),
  dipOrSightGlass: within(0.01, '1', `± 1 % of the volume; ${NO_SOURCE}`),
  flowMeter: within(0.005, '1', 'measuring system of class 0.5, Directive 2014/32/EU Annex VII'),
  loadCell: within(0.002, '1', `± 0.2 % of the mass; ${NO_SOURCE}`),
  modelMalt: {
    standardUncertainty: 0.024,
    unit: '1',
    distribution: 'normal',
    basis: 'residual spread of 532 published brews, Cutaia, Reid, Speers, J. Inst. Brew. 115 (2009) 318',
  },
  modelSugar: {
    standardUncertainty: 0.03,
    unit: '1',
    distribution: 'normal',
    basis: `relative, for sugar washes; ${NO_SOURCE}`,
  },
} as const satisfies Record<string, StatedDefault>;

/** The default component of a gravity read with a hydrometer of the scale, ± one point. `role` keeps the two readings apart. */
export function defaultGravityComponent(scale: GravityScale, role: string): UncertaintyComponent {
  const chosen =
    scale === 'plato' ? DEFAULTS.hydrometerPlato : scale === 'density-kg-m3' ? DEFAULTS.density : DEFAULTS.hydrometerSg;
  return component(`${role}, stated default`, chosen, `default/hydrometer/${role}`);
}

/** The default component of a temperature, ± 0.5 °C. */
export function defaultTemperatureComponent(role: string): UncertaintyComponent {
  return component(`${role}, stated default`, DEFAULTS.thermometerC, `default/thermometer/${role}`);
}

/** The default component of the temperature of a gravity that was read without one, ± 5 °C about that of its scale. */
export function unknownTemperatureComponent(role: string): UncertaintyComponent {
  return component(`${role}, not read`, DEFAULTS.unknownTemperatureC, `default/no-thermometer/${role}`);
}

/** A stated default as a component with the given origin. */
export function component(name: string, stated: StatedDefault, origin: string): UncertaintyComponent {
  const { standardUncertainty, unit, distribution } = stated;
  return { name, standardUncertainty, unit, distribution, origin };
}

/**
 * Width of a scale region in points of specific gravity; within one region an instrument has one error. Common practice, no source.
 */
const REGION_POINTS = 20;

/**
 * Origin of a calibration error: instrument and scale region of 20 points, so that original and final gravity of one hydrometer
 * stay independent, while two readings near each other share the error.
 */
export function calibrationOrigin(instrument: string, specificGravity20: number): string {
  const from = Math.floor((specificGravity20 * 1000) / REGION_POINTS) * REGION_POINTS;
  return `${instrument}/${from}-${from + REGION_POINTS}`;
}
