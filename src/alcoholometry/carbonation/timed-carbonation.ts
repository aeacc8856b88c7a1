import { MetrologyError, requireInRange } from '../../metrology/problem.js';
import { CO2_GRAMS_PER_LITRE_PER_VOLUME, STANDARD_ATMOSPHERE_KPA } from '../tables/carbonation.js';
import type { CarbonationConditions } from './carbonation.js';
import { dissolvedInGPerL, gaugePressureForVolumes, volumesForGaugePressure } from './carbonation.js';

export interface TimedInput extends CarbonationConditions {
  /** Set for the time being, above the equilibrium pressure of the target. */
  readonly setGaugePressureKPa: number;
  readonly targetVolumesOfCO2: number;
  /** Content at the start, 0 to 8; that of equilibrium under the atmosphere by default. */
  readonly startVolumesOfCO2?: number;
  /** Time in which the gap to equilibrium halves, h, 0.05 to 1000, as measured in this container; `HALF_TIME_H` by default. */
  readonly halfTimeH?: number;
}

interface Hours {
  readonly earliestH: number;
  readonly expectedH: number;
  readonly latestH: number;
}

interface TimedCarbonation {
  readonly startVolumesOfCO2: number;
  /** Content that the drink would reach if the set pressure stayed. */
  readonly equilibriumVolumesOfCO2: number;
  /** Times at which the target is reached and the pressure has to be down. */
  readonly lowerAfter: Hours;
  /** Gauge pressure that keeps the target, kPa. */
  readonly lowerToGaugePressureKPa: number;
  readonly warnings: readonly string[];
}

/** Half-times of a keg at rest, pressure on the head space, 2 to 8 °C: common practice, no source. A stirred or shaken one is far faster. */
const HALF_TIME_H = { least: 12, expected: 24, most: 60 } as const;

/** Bounds about a half-time that was measured, as a part of it; a stated default, no source. */
const MEASURED_WITHIN = 0.25;

/**
 * Time after which a pressure that was set high must come down, because the target is reached.
 *
 * Model: the gap to equilibrium falls by half in each half-time, c(t) = c_eq − (c_eq − c_0)·2^(−t/T), as by diffusion through a thin layer
 * under a mixed liquid. The model has no source for kegs; T depends on surface, depth, temperature and motion, so three times are given: by the shortest, the
 * expected and the longest T. Range: as `gaugePressureForVolumes`. Error: that of T; a factor of 2 to 2.5 either way by default.
 * @throws MetrologyError `out-of-range`, `not-finite`, `contradictory` where the pressure would never reach or pass the target
 */
export function timedCarbonation(input: TimedInput): TimedCarbonation {
  const { setGaugePressureKPa, targetVolumesOfCO2: target, halfTimeH } = input;
  const equilibrium = volumesForGaugePressure(input, setGaugePressureKPa).volumesOfCO2;
  const kept = gaugePressureForVolumes(input, target);
  const start = requireInRange('startVolumesOfCO2', input.startVolumesOfCO2 ?? flatVolumes(input), 0, 8);
  if (halfTimeH !== undefined) requireInRange('halfTime', halfTimeH, 0.05, 1000, 'h');
  if (target >= equilibrium) {
    throw new MetrologyError(
      'contradictory',
      `The set pressure gives ${equilibrium.toFixed(2)} volumes at equilibrium, which is not above the target: leave it on, or set it higher.`,
      { pointer: 'setGaugePressure', equilibriumVolumesOfCO2: equilibrium },
    );
  }
  if (target <= start) {
    throw new MetrologyError('contradictory', 'The drink holds the wanted CO2 at the start already.', {
      pointer: 'volumesOfCO2',
      startVolumesOfCO2: start,
    });
  }
  const halvings = Math.log2((equilibrium - start) / (equilibrium - target));
  const times =
    halfTimeH === undefined
      ? HALF_TIME_H
      : { least: halfTimeH * (1 - MEASURED_WITHIN), expected: halfTimeH, most: halfTimeH * (1 + MEASURED_WITHIN) };
  const lowerAfter = {
    earliestH: halvings * times.least,
    expectedH: halvings * times.expected,
    latestH: halvings * times.most,
  };
  return {
    startVolumesOfCO2: start,
    equilibriumVolumesOfCO2: equilibrium,
    lowerAfter,
    lowerToGaugePressureKPa: kept.gaugePressureKPa,
    warnings: timedCautions(lowerAfter.earliestH, equilibrium, halfTimeH === undefined),
  };
}

function timedCautions(earliestH: number, equilibriumVolumes: number, byDefault: boolean): string[] {
  const bounds = `${HALF_TIME_H.least} to ${HALF_TIME_H.most} h`;
  return [
    `Lower the pressure after ${earliestH.toPrecision(2)} h at the latest, let it stand, and measure before more gas is given. If the set pressure stays on, the drink passes the target and ends at ${equilibriumVolumes.toFixed(2)} volumes.`,
    byDefault
      ? `Times for a keg at rest whose gap to equilibrium halves in ${bounds} (common practice, no source). Shaken, stirred or through a stone it takes minutes: do not use these times then.`
      : 'Times within 25 % of the half-time that was given (stated default, no source). Another fill, temperature or motion has another half-time.',
    'The container must be rated for the set pressure, not only for the pressure that is kept afterwards. Never set a high pressure on glass.',
  ];
}

/** Content of a flat drink that stood under CO2 at the pressure of the atmosphere. */
const flatVolumes = ({
  liquid,
  temperatureC,
  atmosphericPressureKPa = STANDARD_ATMOSPHERE_KPA,
}: CarbonationConditions): number =>
  dissolvedInGPerL(liquid, temperatureC, atmosphericPressureKPa) / CO2_GRAMS_PER_LITRE_PER_VOLUME;
