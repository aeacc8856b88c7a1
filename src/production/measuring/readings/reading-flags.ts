import type { CalibrationOn } from '../../registers/instruments/calibration-rules.js';
import type { InstrumentKind } from '../../registers/instruments/instrument-kinds.js';
import type { ReadingKind } from './reading-kinds.js';

/** Remarks on how a reading was taken; no reason to refuse it. */
const READING_REMARKS = [
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
export type ReadingRemark = (typeof READING_REMARKS)[number];

/** Doubts about the value itself. The reading is stored all the same; each asks to be confirmed or corrected. */
export const READING_DOUBTS = [
  'gravity-rising',
  'gravity-mistyped',
  'original-far-from-plan',
  'vessel-holds-another-lot',
  'temperature-unit',
  'extract-below-zero',
  'before-charge',
] as const;
export type ReadingDoubt = (typeof READING_DOUBTS)[number];

export const READING_FLAGS = [...READING_REMARKS, ...READING_DOUBTS] as const;

/** A doubt as it is kept with the reading. */
export interface KeptDoubt {
  readonly code: ReadingDoubt;
  readonly detail: string;
  readonly suggestion: string;
  /** Confirmation by the code in `confirm`: the key, and the person where one was named. */
  readonly confirmedBy?: { readonly keyId: string; readonly personId?: string };
}

/** A doubt that was confirmed after the reading was entered. */
export interface LaterConfirmation {
  readonly code: ReadingDoubt;
  readonly keyId: string;
  readonly personId?: string;
}

/** The doubts with the confirmations that came later. */
export const withConfirmations = (doubts: readonly KeptDoubt[], confirmed: readonly LaterConfirmation[]): KeptDoubt[] =>
  doubts.map((doubt) => {
    const later = confirmed.find(({ code }) => code === doubt.code);
    if (later === undefined || doubt.confirmedBy !== undefined) {
      return doubt;
    }
    const { keyId, personId } = later;
    return { ...doubt, confirmedBy: { keyId, ...(personId === undefined ? {} : { personId }) } };
  });

const REMARK_DETAILS: Readonly<Record<ReadingRemark, string>> = {
  'no-instrument': 'The instrument is unknown, so a stated default is taken for its error.',
  'no-temperature': 'The temperature of the sample is unknown.',
  'no-calibration': 'The instrument has no calibration record for this value.',
  'calibration-lapsed': 'The calibration of the instrument had lapsed on that day.',
  'outside-calibration': 'The value lies outside the calibrated regions of the instrument.',
  'instrument-of-other-kind': 'An instrument of this kind does not measure this.',
  'instrument-of-other-scale': 'The instrument has another scale than the reading.',
  'instrument-retired': 'The instrument was retired by then.',
  'lot-retired': 'The lot was retired by then.',
  'co2-not-stated':
    'It is not stated whether the sample was degassed; bubbles lift a float, so that it reads too high.',
  'not-degassed': 'The sample was not degassed; gas changes the reading.',
  'unusual-ph': 'The pH is unusual for a drink or a ferment.',
};

/** A flag as answers show it. */
export interface FlagFacts {
  readonly code: (typeof READING_FLAGS)[number];
  readonly detail: string;
  readonly suggestion?: string;
  readonly confirmedBy?: KeptDoubt['confirmedBy'];
}

/** The flags of a reading for an answer: remarks with their texts, then the doubts. A confirmed doubt suggests nothing more. */
export const flagsOf = (remarks: readonly ReadingRemark[], doubts: readonly KeptDoubt[]): FlagFacts[] => [
  ...remarks.map((code) => ({ code, detail: REMARK_DETAILS[code] })),
  ...doubts.map(({ suggestion, ...doubt }) => (doubt.confirmedBy === undefined ? { ...doubt, suggestion } : doubt)),
];

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

/** The remarks on a reading, in the order of the list. */
export function readingRemarks(facts: ReadingFacts): ReadingRemark[] {
  const { kind, takenAt, lotRetiredAt } = facts;
  const raised = new Set<ReadingRemark>([...(kind === 'text' ? [] : measurementFlags(facts))]);
  if (lotRetiredAt !== null && lotRetiredAt <= takenAt) {
    raised.add('lot-retired');
  }
  return READING_REMARKS.filter((flag) => raised.has(flag));
}

function measurementFlags({ kind, value, degassed, hasTemperature, ...facts }: ReadingFacts): ReadingRemark[] {
  const flags: ReadingRemark[] = instrumentFlags({ kind, value, degassed, hasTemperature, ...facts });
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

function instrumentFlags({ kind, unit, takenAt, instrument }: ReadingFacts): ReadingRemark[] {
  if (instrument === undefined) {
    return ['no-instrument'];
  }
  const flags: ReadingRemark[] = [];
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
