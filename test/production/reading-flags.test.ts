import type { ReadingFacts, ReadingRemark } from '../../src/production/measuring/readings/reading-flags.js';
import { READING_FLAGS, readingRemarks } from '../../src/production/measuring/readings/reading-flags.js';

const TAKEN_AT = new Date('2026-03-10T12:00:00Z');
const later = (milliseconds: number) => new Date(TAKEN_AT.getTime() + milliseconds);
type Instrument = NonNullable<ReadingFacts['instrument']>;

const VALID: Instrument['calibration'] = {
  state: 'valid',
  calibrationId: 'c',
  region: '0',
  commonStandardUncertainty: 0,
  unit: 'sg-20-20',
  correction: 0,
  standardUncertainty: 0.0002,
};
const HYDROMETER: Instrument = { kind: 'hydrometer', scale: 'sg-20-20', retiredAt: null, calibration: VALID };

/** A gravity of which nothing is to be said. */
const GRAVITY: ReadingFacts = {
  kind: 'gravity',
  value: 1.01,
  unit: 'sg-20-20',
  takenAt: TAKEN_AT,
  hasTemperature: true,
  degassed: true,
  lotRetiredAt: null,
  instrument: HYDROMETER,
};
const withInstrument = (change: Partial<Instrument>): Partial<ReadingFacts> => ({
  instrument: { ...HYDROMETER, ...change },
});
const none = (reason: 'no-record' | 'outside-regions' | 'other-unit'): Instrument['calibration'] => ({
  state: 'none',
  reason,
});
const lapsed: Instrument['calibration'] = { state: 'lapsed', calibrationId: 'c', validUntil: '2026-01-01' };

test.each<[string, Partial<ReadingFacts>, ReadingRemark[]]>([
  ['nothing to say', {}, []],
  ['no instrument', { instrument: undefined }, ['no-instrument']],
  ['no temperature', { hasTemperature: false }, ['no-temperature']],
  ['gas not spoken of', { degassed: undefined }, ['co2-not-stated']],
  ['gas in it', { degassed: false }, ['not-degassed']],
  ['no calibration looked up', withInstrument({ calibration: undefined }), []],
  ['no record', withInstrument({ calibration: none('no-record') }), ['no-calibration']],
  ['a record in another unit', withInstrument({ calibration: none('other-unit') }), ['no-calibration']],
  ['a value outside', withInstrument({ calibration: none('outside-regions') }), ['outside-calibration']],
  ['lapsed', withInstrument({ calibration: lapsed }), ['calibration-lapsed']],
  ['another kind of instrument', withInstrument({ kind: 'ph-meter' }), ['instrument-of-other-kind']],
  ['another scale', withInstrument({ scale: 'plato' }), ['instrument-of-other-scale']],
  ['no scale known', withInstrument({ scale: undefined }), []],
  ['retired a millisecond later', withInstrument({ retiredAt: later(1) }), []],
  ['retired at this moment', withInstrument({ retiredAt: TAKEN_AT }), ['instrument-retired']],
  ['the lot retired a millisecond later', { lotRetiredAt: later(1) }, []],
  ['the lot retired at this moment', { lotRetiredAt: TAKEN_AT }, ['lot-retired']],
  [
    'all at once, in the order of the list',
    {
      hasTemperature: false,
      degassed: false,
      lotRetiredAt: later(-1),
      ...withInstrument({ kind: 'dip', scale: 'plato', retiredAt: later(-1), calibration: lapsed }),
    },
    [
      'no-temperature',
      'calibration-lapsed',
      'instrument-of-other-kind',
      'instrument-of-other-scale',
      'instrument-retired',
      'lot-retired',
      'not-degassed',
    ],
  ],
])('a gravity, %s', (_, change, flags) => {
  expect(readingRemarks({ ...GRAVITY, ...change })).toEqual(flags);
});

// pH from 2.5 to 7 is usual; common practice, no source.
test.each<[number | undefined, ReadingRemark[]]>([
  [2.49, ['unusual-ph']],
  [2.5, []],
  [7, []],
  [7.01, ['unusual-ph']],
  [undefined, []],
])('pH %s', (value, flags) => {
  const instrument: Instrument = { kind: 'ph-meter', retiredAt: null };
  expect(readingRemarks({ ...GRAVITY, kind: 'ph', value, unit: undefined, degassed: undefined, instrument })).toEqual(
    flags,
  );
});

test.each<[ReadingFacts['kind'], Instrument['kind'], ReadingRemark[]]>([
  ['gravity', 'refractometer', ['no-temperature', 'co2-not-stated']],
  ['gravity', 'density-meter', ['no-temperature', 'co2-not-stated']],
  ['density', 'density-meter', ['no-temperature', 'co2-not-stated']],
  ['density', 'hydrometer', ['no-temperature', 'co2-not-stated']],
  ['strength', 'alcoholometer', ['no-temperature', 'co2-not-stated']],
  ['strength', 'density-meter', ['no-temperature', 'co2-not-stated']],
  ['volume', 'dip', ['no-temperature']],
  ['volume', 'sight-glass', ['no-temperature']],
  ['volume', 'flow-meter', ['no-temperature']],
  ['volume', 'scale', ['no-temperature']],
  ['gauge-pressure', 'pressure-gauge', ['no-temperature']],
  ['temperature', 'thermometer', []],
  ['temperature', 'density-meter', []],
  ['temperature', 'ph-meter', []],
  ['dissolved-co2', 'co2-meter', []],
  ['ph', 'ph-meter', []],
])('%s by a %s, without temperature and gas', (kind, instrumentKind, flags) => {
  const instrument: Instrument = { kind: instrumentKind, retiredAt: null };
  const bare = { kind, takenAt: TAKEN_AT, hasTemperature: false, lotRetiredAt: null };
  expect(readingRemarks({ ...bare, instrument })).toEqual(flags);
  const wrong: Instrument = { kind: kind === 'ph' ? 'dip' : 'ph-meter', retiredAt: null };
  const isRight = kind === 'temperature';
  expect(readingRemarks({ ...bare, instrument: wrong }).includes('instrument-of-other-kind')).toBe(!isRight);
});

test('a note needs no instrument; a retired lot is said of it too', () => {
  const note: ReadingFacts = { kind: 'text', takenAt: TAKEN_AT, hasTemperature: false, lotRetiredAt: null };
  expect(readingRemarks(note)).toEqual([]);
  expect(readingRemarks({ ...note, lotRetiredAt: TAKEN_AT })).toEqual(['lot-retired']);
});

test('every flag is of the list', () => {
  expect(new Set(READING_FLAGS).size).toBe(READING_FLAGS.length);
});
