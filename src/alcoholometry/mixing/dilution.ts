import type { Liquid } from '../liquids/liquid.js';
import { bringToStrength, type Stream } from './to-strength.js';

export interface DilutionInput {
  /** % vol at 20 °C of the liquid to be diluted. */
  readonly strengthPercent: number;
  /** % vol at 20 °C, 0.01 up to the start. */
  readonly targetStrengthPercent: number;
  /** L of the start liquid at its temperature; exactly one of the two is given. */
  readonly volumeL?: number;
  /** L of the result at 20 °C. */
  readonly finalVolumeL?: number;
  /** At which `volumeL` is read, 0 to 40 °C; 20 by default. */
  readonly temperatureC?: number;
  /** At which the water is measured out, 0 to 40 °C; 20 by default. */
  readonly waterTemperatureC?: number;
  /** True density of the start liquid at 20 °C, as measured. */
  readonly densityKgM3?: number;
  /** Real extract of the start liquid, °P. */
  readonly extractPlato?: number;
}

export interface Dilution {
  readonly waterMassKg: number;
  /** At 20 °C. */
  readonly waterVolumeL: number;
  readonly waterVolumeAtTemperatureL: number;
  /** Of the start liquid at 20 °C. */
  readonly volumeL: number;
  readonly volumeAtTemperatureL: number;
  /** At 20 °C. */
  readonly finalVolumeL: number;
  /** Result minus inputs at 20 °C, signed. */
  readonly volumeChangeL: number;
  readonly pureAlcoholL: number;
  readonly result: Liquid;
  readonly warnings: readonly string[];
}

/** Name, version and source of the method, for the answer. */
export const DILUTION_METHOD = {
  id: 'dilution-mass-balance',
  version: '1.0.0',
  source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
} as const;

const WATER: Stream = { strengthPercent: 0 };

/**
 * Water that brings a liquid down to a strength. Mass and pure alcohol are conserved, volumes are not: 96 to 5 % vol loses 0.28 L per
 * 100 L of result, 14 to 5 % gains 0.07 L.
 *
 * Ranges, error and source: see `bringToStrength`; water has the density of OIML R 22.
 * @throws MetrologyError as `bringToStrength`; `no-solution` also for a target above the start
 */
export function dilute(input: DilutionInput): Dilution {
  const { strengthPercent, targetStrengthPercent, volumeL, finalVolumeL, temperatureC, densityKgM3, extractPlato } =
    input;
  const found = bringToStrength({
    start: { strengthPercent, densityKgM3, extractPlato, temperatureC },
    addition: { ...WATER, temperatureC: input.waterTemperatureC },
    targetStrengthPercent,
    volumeL,
    finalVolumeL,
  });
  return {
    waterMassKg: found.addition.massKg,
    waterVolumeL: found.addition.volumeL,
    waterVolumeAtTemperatureL: found.additionVolumeAtTemperatureL,
    volumeL: found.start.volumeL,
    volumeAtTemperatureL: found.startVolumeAtTemperatureL,
    finalVolumeL: found.result.volumeL,
    volumeChangeL: found.volumeChangeL,
    pureAlcoholL: found.start.pureAlcoholL,
    result: found.result,
    warnings: found.warnings,
  };
}
