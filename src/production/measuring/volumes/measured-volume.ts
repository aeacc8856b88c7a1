import { drinkVolumeAt20L, hotWortVolumeAt20L } from '../../../alcoholometry/liquids/drink.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBase } from '../../../metrology/units.js';
import type { CalibrationFact } from './calibration-fact.js';

/** The liquid in a vessel, as far as it is known: what decides how it expands. */
export type VesselLiquid =
  | { readonly kind: 'wort'; readonly extractPlato: number }
  | { readonly kind: 'drink'; readonly strengthPercent: number; readonly extractPlato: number };

/** A volume as a person read it. */
export interface VolumeAsRead {
  readonly volume: Quantity;
  readonly temperature?: Quantity;
  /** A volume; what the instrument's record says unless given. */
  readonly standardUncertainty?: Quantity;
}

export interface MeasuredVolume {
  /** Litres at 20 °C, half-even to six decimals. */
  readonly litres: Decimal;
  readonly standardUncertaintyL: number;
  /** Signed contributions by origin, litres. */
  readonly byOrigin: readonly (readonly [string, number])[];
  readonly warnings: readonly string[];
}

/** Origins of the errors of one measurement. All measurements of an instrument share its calibration error; the rest belongs to this reading. */
export interface VolumeOrigins {
  /** Of an instrument without a valid record, or of a vessel read without one. */
  readonly scale: string;
  readonly reading: string;
}

const at20L = (litres: number, temperatureC: number, liquid: VesselLiquid): number => {
  if (temperatureC === 20) {
    return litres;
  }
  return liquid.kind === 'wort'
    ? hotWortVolumeAt20L(litres, temperatureC, Math.max(0, liquid.extractPlato))
    : drinkVolumeAt20L(litres, temperatureC, liquid);
};

/** Half of the step of the slope, K: its error is below 1e-4 of it. */
const STEP_K = 0.5;

/** Change of the litres at 20 °C with the temperature, L per K: the liquid's own expansion, without that of the vessel. */
function slopeLPerK(litres: number, temperatureC: number, liquid: VesselLiquid): number {
  const highest = liquid.kind === 'wort' ? 100 : 40;
  const low = temperatureC - STEP_K < 0 && temperatureC >= 0 ? 0 : temperatureC - STEP_K;
  const high = Math.min(highest, temperatureC + STEP_K);
  return (at20L(litres, high, liquid) - at20L(litres, low, liquid)) / (high - low);
}

/**
 * A volume as read to litres at 20 °C, with its uncertainty by origin: the instrument's calibration or a stated default (± 1 % of the volume,
 * common practice, no source), and the temperature (± 0.5 °C read, 20 ± 5 °C not read) by the liquid's own expansion at that temperature.
 *
 * Wort 0–100 °C, drinks 0–40 °C. Throws MetrologyError out of range.
 */
export function measuredVolume(
  read: VolumeAsRead,
  liquid: VesselLiquid,
  calibration: CalibrationFact | undefined,
  origins: VolumeOrigins,
): MeasuredVolume {
  const warnings: string[] = [];
  const valid = calibration?.state === 'valid' ? calibration : undefined;
  const litresRead = toBase('volume', read.volume) + (valid?.correction ?? 0);
  const temperatureC = read.temperature === undefined ? 20 : toBase('temperature', read.temperature);
  const value = at20L(litresRead, temperatureC, liquid);

  let scale: readonly (readonly [string, number])[];
  if (read.standardUncertainty !== undefined) {
    scale = [[origins.reading, toBase('volume', read.standardUncertainty)]];
  } else if (valid !== undefined) {
    scale = valid.parts.map(({ origin, standardUncertainty }) => [origin, standardUncertainty]);
  } else {
    scale = [[origins.scale, DEFAULTS.dipOrSightGlass.standardUncertainty * litresRead]];
    warnings.push(
      calibration?.state === 'lapsed'
        ? 'The calibration of the instrument has lapsed: ± 1 % of the volume is taken.'
        : 'The volume has no calibration record: ± 1 % is taken.',
    );
  }
  const temperature = read.temperature === undefined ? DEFAULTS.unknownTemperatureC : DEFAULTS.thermometerC;
  if (read.temperature === undefined) {
    warnings.push('No temperature was read with the volume: 20 ± 5 °C is taken.');
  }
  const temperatureL = Math.abs(slopeLPerK(litresRead, temperatureC, liquid)) * temperature.standardUncertainty;
  return {
    litres: toPlaces6HalfEven(new Exact(value)),
    standardUncertaintyL: Math.hypot(...scale.map(([, u]) => u), temperatureL),
    byOrigin: [...scale, [`${origins.reading}/temperature`, temperatureL]],
    warnings,
  };
}
