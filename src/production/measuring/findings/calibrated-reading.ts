import type { BasisReading } from '../position/gravity-readings.js';
import type { CalibrationFact } from '../volumes/calibration-fact.js';

/** A reading with what its instrument's record says of it. */
export interface CalibratedReading extends BasisReading {
  readonly calibration: CalibrationFact | undefined;
}
