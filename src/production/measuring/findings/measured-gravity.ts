import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { toExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import {
  calibrationOrigin,
  component,
  DEFAULTS,
  defaultGravityComponent,
} from '../../../alcoholometry/strength/defaults.js';
import type { UncertaintyComponent } from '../../../alcoholometry/strength/finding.js';
import type { MeasuredGravity } from '../../../alcoholometry/strength/mass-balance-point.js';
import type { CalibratedReading } from './calibrated-reading.js';

/** Half a point of reading and its meniscus; common practice, no source. */
const READING_NOISE_SG = 0.0002;

const isSgScale = (scale: GravityScale): boolean => scale.startsWith('sg-');

/** Temperature of the sample with its stated default; without one that of the scale, ± 5 °C. */
function temperatureOf({ id, temperatureC }: CalibratedReading, role: string): Partial<MeasuredGravity> {
  const origin = `reading/${id}/temperature`;
  return temperatureC === null
    ? { temperatureComponents: [component(`${role} temperature, not read`, DEFAULTS.unknownTemperatureC, origin)] }
    : {
        sampleTemperatureC: temperatureC,
        temperatureComponents: [component(`${role} temperature, stated default`, DEFAULTS.thermometerC, origin)],
      };
}

/** A gravity with its components: the calibration's or the default error by instrument and scale region, and the reading's own noise. */
export function gravityOf(reading: CalibratedReading, role: string): MeasuredGravity {
  const scale = reading.unit as GravityScale;
  const valid = reading.calibration?.state === 'valid' ? reading.calibration : undefined;
  const value = (reading.value ?? NaN) + (valid?.correction ?? 0);
  const instrument = reading.instrumentId === null ? `reading/${reading.id}` : `instrument/${reading.instrumentId}`;
  const components: UncertaintyComponent[] =
    valid === undefined
      ? [
          {
            ...defaultGravityComponent(scale, role),
            origin: calibrationOrigin(instrument, toExtract({ value, scale }).specificGravity20),
          },
        ]
      : [
          ...valid.parts.map(({ name, ...part }) => ({
            ...part,
            name: `${role}, ${name}`,
            distribution: 'normal' as const,
          })),
          ...(isSgScale(scale)
            ? [
                {
                  name: `${role}, reading; common practice, no source`,
                  standardUncertainty: READING_NOISE_SG,
                  origin: `reading/${reading.id}`,
                  distribution: 'normal' as const,
                },
              ]
            : []),
        ];
  return {
    value,
    scale,
    components,
    ...temperatureOf(reading, role),
  };
}
