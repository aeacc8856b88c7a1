import type { CalibrationOn } from '../../registers/instruments/calibration-rules.js';

/** Calibration of an instrument at one value on one day, with the origin of its error. Readings of one origin share the error. */
export type CalibrationFact =
  | {
      readonly state: 'valid';
      readonly calibrationId: string;
      /** Added to the reading; in the unit of the calibration: L, °C, or the gravity scale. */
      readonly correction: number;
      readonly standardUncertainty: number;
      readonly origin: string;
    }
  | { readonly state: 'lapsed' | 'none'; readonly origin: string };

/** The origin of a calibrated value is the calibration and its scale region; of any other, the instrument. */
export function calibrationFact(instrumentId: string, on: CalibrationOn): CalibrationFact {
  if (on.state !== 'valid') {
    return { state: on.state, origin: `instrument/${instrumentId}` };
  }
  const { calibrationId, correction, standardUncertainty, region } = on;
  return {
    state: 'valid',
    calibrationId,
    correction,
    standardUncertainty,
    origin: `calibration/${instrumentId}/${calibrationId}/region-${region}`,
  };
}
