import { MetrologyError, requireFinite, requireInRange } from '../../metrology/problem.js';
import { AIR_DENSITY_KG_M3 } from './air-buoyancy.js';
import { snapToEdge } from './range-edge.js';
import {
  sucroseMassFractionFromDensity,
  sucroseSolutionDensityKgM3,
  sucroseSolutionPartials,
} from './sugar-solution.js';
import { kellWaterKgM3 } from './water.js';

/** The scales a gravity can be given on. SG scales are apparent (weighed in air), as hydrometers are. */
export const GRAVITY_SCALES = ['sg-20-20', 'sg-15-15', 'sg-60f-60f', 'plato', 'density-kg-m3'] as const;
export type GravityScale = (typeof GRAVITY_SCALES)[number];

/** A gravity as given: SG as a ratio, plato in °P, density as true density in kg/m3 at 20 °C. */
export interface Gravity {
  value: number;
  scale: GravityScale;
}

export const SIXTY_FAHRENHEIT_C = 140 / 9;
export const MIN_EXTRACT_PLATO = -5;
export const MAX_EXTRACT_PLATO = 60;

const MIN_SG = 0.75;
// 60 °P is 1.291 at 15 °C; a higher value is no sugar solution of this range.
const MAX_SG = 1.295;

const REFERENCE_TEMPERATURES_C: Record<GravityScale, number> = {
  'sg-20-20': 20,
  'sg-15-15': 15,
  'sg-60f-60f': SIXTY_FAHRENHEIT_C,
  plato: 20,
  'density-kg-m3': 20,
};

/** The temperature, °C, for which the scale is made: of liquid and of the water it is compared with. */
export function scaleReferenceTemperatureC(scale: GravityScale): number {
  const temperature = REFERENCE_TEMPERATURES_C[scale];
  if (temperature === undefined || !Object.hasOwn(REFERENCE_TEMPERATURES_C, scale)) {
    throw new MetrologyError('unknown-scale', 'The scale is not one of the gravity scales.', {
      pointer: 'scale',
      allowed: GRAVITY_SCALES,
    });
  }
  return temperature;
}

/** A gravity as specific gravity, extract and density, converted by the sucrose scale. */
export interface Extract {
  /** apparent, 20/20 °C */
  specificGravity20: number;
  /** °P: % by mass of sucrose in the solution of that density */
  extractPlato: number;
  /** true density at 20 °C, kg/m3 */
  densityKgM3At20: number;
}

/** A density mark and its slope per unit of the scale. */
interface DensityMark {
  densityKgM3: number;
  perScaleUnit: number;
}

/**
 * True density, kg/m3, that a mark of the scale means, at the scale's own reference temperature.
 * Range: SG 0.75–1.295 (spirits included), 750–1295 kg/m3, −5–60 °P. SG marks are apparent: (ρ − 1.2) = SG (ρ_water − 1.2), water by Kell at the reference temperature.
 * @throws MetrologyError out of range; `suspicious-gravity` with `details.suggestion` for 10.32, 1032, 32 or 1.32 on an SG scale.
 */
export function densityMark({ value, scale }: Gravity): DensityMark {
  const referenceC = scaleReferenceTemperatureC(scale);
  requireFinite('value', value);
  if (scale === 'plato') {
    requireInRange('value', value, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO, '°P');
    const { densityKgM3, perMassFraction } = sucroseSolutionPartials(value / 100, referenceC);
    return { densityKgM3, perScaleUnit: perMassFraction / 100 };
  }
  refuseMisplacedPoint(value, scale);
  if (scale === 'density-kg-m3') {
    requireInRange('value', value, 1000 * MIN_SG, 1000 * MAX_SG, 'kg/m3');
    return { densityKgM3: value, perScaleUnit: 1 };
  }
  requireInRange('value', value, MIN_SG, MAX_SG);
  const waterInAir = kellWaterKgM3(referenceC) - AIR_DENSITY_KG_M3;
  return { densityKgM3: value * waterInAir + AIR_DENSITY_KG_M3, perScaleUnit: waterInAir };
}

/**
 * Specific gravity 20/20, extract in °P and true density at 20 °C of a gravity, taken as that of a sucrose solution.
 *
 * Range −5 to 60 °P; °P below zero continues the sucrose formula, a convention. Source: ICUMSA SPS-4 with water by Kell;
 * stated error 0.012 °P against the ASBC polynomial to 25 °P. A 15/15 or 60/60 °F value is that of the solution at 15 or
 * 15.56 °C: for a drink with alcohol the step to 20/20 is off by up to 0.2 points, use the hydrometer correction for that.
 * @throws MetrologyError as `densityMark`.
 */
export function toExtract(gravity: Gravity): Extract {
  const fraction = sucroseFraction(gravity);
  const densityKgM3At20 = sucroseSolutionDensityKgM3(fraction, 20);
  return {
    specificGravity20: specificGravity20FromDensity(densityKgM3At20),
    extractPlato: 100 * fraction,
    densityKgM3At20,
  };
}

function sucroseFraction(gravity: Gravity): number {
  const { value, scale } = gravity;
  const { densityKgM3 } = densityMark(gravity);
  if (scale === 'plato') return value / 100;
  const limits = [MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO].map((plato) => fromExtractUnchecked(plato, scale));
  const [least, most] = limits;
  requireInRange('value', snapToEdge(value, least, most), least, most, scale === 'density-kg-m3' ? 'kg/m3' : undefined);
  return sucroseMassFractionFromDensity(densityKgM3, scaleReferenceTemperatureC(scale));
}

/** Value on `scale` of a sucrose solution of `extractPlato` (−5–60 °P). Source and error: as `toExtract`. */
export function fromExtract(extractPlato: number, scale: GravityScale): number {
  const plato = snapToEdge(extractPlato, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO);
  requireInRange('extract', plato, MIN_EXTRACT_PLATO, MAX_EXTRACT_PLATO, '°P');
  return fromExtractUnchecked(plato, scale);
}

/** Apparent specific gravity 20/20 of a liquid of true density `densityKgM3` at 20 °C; water by Kell, air 1.2 kg/m3. */
export function specificGravity20FromDensity(densityKgM3: number): number {
  return (densityKgM3 - AIR_DENSITY_KG_M3) / (kellWaterKgM3(20) - AIR_DENSITY_KG_M3);
}

function fromExtractUnchecked(extractPlato: number, scale: GravityScale): number {
  if (scale === 'plato') return extractPlato;
  const referenceC = scaleReferenceTemperatureC(scale);
  const density = sucroseSolutionDensityKgM3(extractPlato / 100, referenceC);
  if (scale === 'density-kg-m3') return density;
  return (density - AIR_DENSITY_KG_M3) / (kellWaterKgM3(referenceC) - AIR_DENSITY_KG_M3);
}

/** Gravities of the trade lie here; outside it a typing error is not guessed. */
const PLAUSIBLE_SG = { min: 0.98, max: 1.17 };

const suspicious = (value: number, suggestion: number): MetrologyError =>
  new MetrologyError('suspicious-gravity', `${value} is no gravity on this scale; did you mean ${suggestion}?`, {
    pointer: 'value',
    value,
    suggestion,
  });

function refuseMisplacedPoint(value: number, scale: GravityScale): void {
  const shifts = scale === 'density-kg-m3' ? [1000, 100, 10] : [0.1, 0.01, 0.001];
  const unit = scale === 'density-kg-m3' ? 1000 : 1;
  for (const shift of shifts) {
    const shifted = Number((value * shift).toPrecision(12));
    if (shifted >= PLAUSIBLE_SG.min * unit && shifted <= PLAUSIBLE_SG.max * unit) {
      throw suspicious(value, shifted);
    }
  }
  // 31 points or 1.31 for 1.031, values that no sugar solution has; 12.5 may as well be °P.
  const hasTwoPlaces = Math.abs(100 * value - Math.round(100 * value)) < 1e-9;
  const withZero = value > MAX_SG && value < 2 && hasTwoPlaces ? 1 + (value - 1) / 10 : undefined;
  const meant = value >= 20 ? 1 + value / 1000 : withZero;
  if (scale !== 'density-kg-m3' && meant !== undefined && meant <= PLAUSIBLE_SG.max) {
    throw suspicious(value, Number(meant.toPrecision(12)));
  }
}
