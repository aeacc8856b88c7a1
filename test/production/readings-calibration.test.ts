import fc from 'fast-check';
import { massBalance } from '../../src/alcoholometry/strength/mass-balance.js';
import type { CalibratedReading } from '../../src/production/measuring/findings/calibrated-reading.js';
import { gravityOf } from '../../src/production/measuring/findings/measured-gravity.js';
import { calibrationFact } from '../../src/production/measuring/volumes/calibration-fact.js';
import type { CalibrationRecord, Region } from '../../src/production/registers/instruments/calibration-rules.js';
import { calibrationOf, regionFindings } from '../../src/production/registers/instruments/calibration-rules.js';

const region = (from: number, to: number, correction = 0): Region => ({
  from,
  to,
  correction,
  standardUncertainty: 0.1,
});
const record = (change: Partial<CalibrationRecord> = {}): CalibrationRecord => ({
  id: 'a',
  performedOn: '2026-01-01',
  validUntil: '2026-12-31',
  unit: 'L',
  regions: [region(0, 10, 0.1), { from: 10, to: 20, correction: 0.2, expandedUncertainty: 0.5, coverageFactor: 2 }],
  ...change,
});

test('a region gives its correction and standard uncertainty, in the unit of the scale', () => {
  const first = {
    state: 'valid',
    calibrationId: 'a',
    region: '0',
    unit: 'L',
    correction: 0.1,
    standardUncertainty: 0.1,
    commonStandardUncertainty: 0,
  };
  expect(calibrationOf([record()], '2026-06-01', { value: 5, unit: 'L' })).toEqual(first);
  expect(calibrationOf([record()], '2026-06-01', { value: 15, unit: 'L' })).toMatchObject({
    region: '1',
    correction: 0.2,
    standardUncertainty: 0.25,
  });
  expect(calibrationOf([record()], '2026-06-01', { value: 0.05, unit: 'hL' })).toEqual(first);
});

test('where two regions meet the lower one counts; beyond them nothing is said', () => {
  expect(calibrationOf([record()], '2026-06-01', { value: 10, unit: 'L' })).toMatchObject({ region: '0' });
  for (const value of [-0.001, 20.001]) {
    expect(calibrationOf([record()], '2026-06-01', { value, unit: 'L' })).toEqual({
      state: 'none',
      reason: 'outside-regions',
    });
  }
});

test('it holds from its day to its last day; the latest one counts, even when an older one would still hold', () => {
  const on = (day: string, records = [record()]) => calibrationOf(records, day, { value: 5, unit: 'L' });
  expect(on('2025-12-31')).toEqual({ state: 'none', reason: 'no-record' });
  expect(on('2026-01-01').state).toBe('valid');
  expect(on('2026-12-31').state).toBe('valid');
  expect(on('2027-01-01')).toEqual({ state: 'lapsed', calibrationId: 'a', validUntil: '2026-12-31' });
  const later = record({ id: 'b', performedOn: '2026-02-01', validUntil: '2026-03-01' });
  expect(on('2026-02-10', [later, record()])).toMatchObject({ state: 'valid', calibrationId: 'b' });
  expect(on('2026-03-02', [record(), later])).toMatchObject({ state: 'lapsed', calibrationId: 'b' });
  expect(on('2026-01-31', [later, record()])).toMatchObject({ state: 'valid', calibrationId: 'a' });
});

test('gravity scales are not converted into one another; density is one unit under two names', () => {
  const gravity = record({ unit: 'sg-20-20', regions: [region(0.98, 1.1)] });
  expect(calibrationOf([gravity], '2026-06-01', { value: 8, unit: 'plato' })).toEqual({
    state: 'none',
    reason: 'other-unit',
  });
  const density = record({ unit: 'density-kg-m3', regions: [region(900, 1100)] });
  expect(calibrationOf([density], '2026-06-01', { value: 998, unit: 'kg/m3' }).state).toBe('valid');
});

describe('a certificate with one region for the whole scale', () => {
  const whole = { from: 0.98, to: 1.1, correction: 0, standardUncertainty: 0.0005 };
  const fact = (value: number, regions: readonly Region[] = [whole]) =>
    calibrationFact(
      'h',
      calibrationOf([record({ unit: 'sg-20-20', regions })], '2026-06-01', { value, unit: 'sg-20-20' }),
    );
  const strengthOf = (regions: readonly Region[]): number => {
    const reading = (id: string, value: number): CalibratedReading => ({
      ...({ id, kind: 'gravity', unit: 'sg-20-20', instrumentId: 'h', temperatureC: 20 } as CalibratedReading),
      value,
      calibration: fact(value, regions),
    });
    return massBalance({
      original: gravityOf(reading('o', 1.065), 'original gravity'),
      final: gravityOf(reading('f', 1.005), 'final gravity'),
      model: { kind: 'sugar' },
    }).strengthPercent.standard;
  };

  test.each([
    [1.065, '0/4'],
    [1.0, '0/1'],
    [1.0199, '0/1'],
    [1.1, '0/5'],
    [0.98, '0/0'],
  ])('%f lies in its piece of 20 points, %s', (value, region) => {
    expect(fact(value)).toMatchObject({ state: 'valid', origin: `calibration/h/a/region-${region}` });
  });

  test('a region of 20 points or less is one piece, whatever the rounding of its ends', () => {
    for (const [from, to] of [
      [1, 1.02],
      [1.04, 1.06],
      [1.08, 1.1],
    ]) {
      expect(fact(to, [{ ...whole, from, to }])).toMatchObject({ origin: 'calibration/h/a/region-0' });
    }
  });

  test('gives the uncertainty that two regions with the same figures give', () => {
    const two = [
      { ...whole, to: 1.03 },
      { ...whole, from: 1.03 },
    ];
    expect(strengthOf([whole])).toBeCloseTo(strengthOf(two), 12);
  });

  test('what it states as a common offset is shared by both gravities and cancels in part', () => {
    const shared = { ...whole, commonStandardUncertainty: 0.0004 };
    expect(fact(1.065, [shared])).toMatchObject({
      standardUncertainty: 0.0005,
      // √(0.0005² − 0.0004²) is 0.0003.
      parts: [{ standardUncertainty: expect.closeTo(0.0003, 12) as number }, { standardUncertainty: 0.0004 }],
    });
    expect(strengthOf([shared])).toBeLessThan(strengthOf([whole]));
    const offsetOnly = { ...whole, commonStandardUncertainty: 0.0005 };
    expect(strengthOf([offsetOnly])).toBeLessThan(strengthOf([shared]));
    expect(regionFindings([{ ...whole, commonStandardUncertainty: 0.0006 }], 'sg-20-20')).toMatchObject([
      { rule: 'common-above-total', path: [0, 'commonStandardUncertainty'] },
    ]);
  });
});

test('a value lies in the region that is named, or outside all of them', () => {
  // Minus zero and zero are one mark: a region between them would be empty, and is refused before it gets here.
  const edges = fc.uniqueArray(fc.double({ min: -100, max: 100, noNaN: true }), {
    minLength: 2,
    maxLength: 12,
    selector: (mark) => mark + 0,
  });
  fc.assert(
    fc.property(edges, fc.double({ min: -120, max: 120, noNaN: true }), (marks, value) => {
      const sorted = marks.sort((a, b) => a - b);
      const regions = sorted.slice(1).map((to, index) => region(sorted[index], to));
      expect(regionFindings(regions, 'L')).toEqual([]);
      const found = calibrationOf([record({ regions })], '2026-06-01', { value, unit: 'L' });
      if (found.state === 'valid') {
        expect(regions[Number(found.region)].from).toBeLessThanOrEqual(value);
        expect(regions[Number(found.region)].to).toBeGreaterThanOrEqual(value);
      } else {
        expect(value < sorted[0] || value > sorted[sorted.length - 1]).toBe(true);
      }
    }),
  );
});
