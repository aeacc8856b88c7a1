import type { CalibrationOn } from '../../registers/instruments/calibration-rules.js';
import type { InstrumentKind } from '../../registers/instruments/instrument-kinds.js';
import type { ReadingKind } from './reading-kinds.js';

/** Remarks on a reading that are no reason to refuse it. */
export const READING_FLAGS = [
  'no-instrument',
  'no-temperature',
  'no-calibration',
  'calibration-lapsed',
  'outside-calibration',
  'instrument-of-other-kind',
  'instrument-of-other-scale',
  'instrument-retired',
  'lot-retired',
  'co2-not-stated',
  'not-degassed',
  'unusual-ph',
] as const;
export type ReadingFlag = (typeof READING_FLAGS)[number];

/** Kinds of instrument that measure each kind of reading. */
const MEASURED_BY: Readonly<Record<ReadingKind, readonly InstrumentKind[]>> = {
  gravity: ['hydrometer', 'density-meter', 'refractometer'],
  temperature: ['thermometer', 'density-meter', 'ph-meter'],
  volume: ['dip', 'sight-glass', 'flow-meter', 'scale'],
  ph: ['ph-meter'],
  'dissolved-co2': ['co2-meter'],
  'gauge-pressure': ['pressure-gauge'],
  strength: ['alcoholometer', 'density-meter'],
  density: ['density-meter', 'hydrometer'],
  text: [],
};

const NEEDS_TEMPERATURE: ReadonlySet<ReadingKind> = new Set<ReadingKind>([
  'gravity',
  'density',
  'strength',
  'volume',
  'gauge-pressure',
]);
const MISREAD_WITH_CO2: ReadonlySet<ReadingKind> = new Set<ReadingKind>(['gravity', 'density', 'strength']);

/** pH of what ferments and of what is drunk; common practice, no source. */
const USUAL_PH = { min: 2.5, max: 7 };

export interface ReadingFacts {
  readonly kind: ReadingKind;
  readonly value?: number;
  readonly unit?: string;
  readonly takenAt: Date;
  readonly hasTemperature: boolean;
  readonly degassed?: boolean;
  readonly lotRetiredAt: Date | null;
  readonly instrument?: {
    readonly kind: InstrumentKind;
    readonly scale?: string;
    readonly retiredAt: Date | null;
    readonly calibration?: CalibrationOn;
  };
}

/** The flags of a reading, in the order of the list. */
export function readingFlags(facts: ReadingFacts): ReadingFlag[] {
  const { kind, takenAt, lotRetiredAt } = facts;
  const raised = new Set<ReadingFlag>([...(kind === 'text' ? [] : measurementFlags(facts))]);
  if (lotRetiredAt !== null && lotRetiredAt <= takenAt) {
    raised.add('lot-retired');
  }
  return READING_FLAGS.filter((flag) => raised.has(flag));
}

function measurementFlags({ kind, value, degassed, hasTemperature, ...facts }: ReadingFacts): ReadingFlag[] {
  const flags: ReadingFlag[] = instrumentFlags({ kind, value, degassed, hasTemperature, ...facts });
  if (NEEDS_TEMPERATURE.has(kind) && !hasTemperature) {
    flags.push('no-temperature');
  }
  if (MISREAD_WITH_CO2.has(kind) && degassed !== true) {
    flags.push(degassed === undefined ? 'co2-not-stated' : 'not-degassed');
  }
  if (kind === 'ph' && value !== undefined && (value < USUAL_PH.min || value > USUAL_PH.max)) {
    flags.push('unusual-ph');
  }
  return flags;
}

function instrumentFlags({ kind, unit, takenAt, instrument }: ReadingFacts): ReadingFlag[] {
  if (instrument === undefined) {
    return ['no-instrument'];
  }
  const flags: ReadingFlag[] = [];
  if (!MEASURED_BY[kind].includes(instrument.kind)) {
    flags.push('instrument-of-other-kind');
  }
  if (kind === 'gravity' && instrument.scale !== undefined && instrument.scale !== unit) {
    flags.push('instrument-of-other-scale');
  }
  if (instrument.retiredAt !== null && instrument.retiredAt <= takenAt) {
    flags.push('instrument-retired');
  }
  const { calibration } = instrument;
  if (calibration?.state === 'lapsed') {
    flags.push('calibration-lapsed');
  } else if (calibration?.state === 'none') {
    flags.push(calibration.reason === 'outside-regions' ? 'outside-calibration' : 'no-calibration');
  }
  return flags;
}
