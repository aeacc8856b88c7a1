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
      /** Parts of the standard uncertainty by origin: that of the region, and the common offset where the certificate states one. */
      readonly parts: readonly CalibrationPart[];
    }
  | { readonly state: 'lapsed' | 'none'; readonly origin: string };

/** A part of a calibration's uncertainty. */
interface CalibrationPart {
  readonly name: string;
  readonly standardUncertainty: number;
  readonly origin: string;
}

/** The origin of a calibrated value is the calibration and its scale region; of any other, the instrument. */
export function calibrationFact(instrumentId: string, on: CalibrationOn): CalibrationFact {
  if (on.state !== 'valid') {
    return { state: on.state, origin: `instrument/${instrumentId}` };
  }
  const { calibrationId, correction, standardUncertainty, commonStandardUncertainty: common, region } = on;
  const origin = `calibration/${instrumentId}/${calibrationId}/region-${region}`;
  const own = Math.sqrt(Math.max(0, standardUncertainty ** 2 - common ** 2));
  return {
    state: 'valid',
    calibrationId,
    correction,
    standardUncertainty,
    origin,
    parts: [
      { name: 'calibration', standardUncertainty: own, origin },
      ...(common === 0
        ? []
        : [
            {
              name: 'calibration, common offset',
              standardUncertainty: common,
              origin: `calibration/${instrumentId}/${calibrationId}/offset`,
            },
          ]),
    ],
  };
}
