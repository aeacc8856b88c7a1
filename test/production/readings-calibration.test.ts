import fc from 'fast-check';
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
  const first = { state: 'valid', calibrationId: 'a', region: 0, unit: 'L', correction: 0.1, standardUncertainty: 0.1 };
  expect(calibrationOf([record()], '2026-06-01', { value: 5, unit: 'L' })).toEqual(first);
  expect(calibrationOf([record()], '2026-06-01', { value: 15, unit: 'L' })).toMatchObject({
    region: 1,
    correction: 0.2,
    standardUncertainty: 0.25,
  });
  expect(calibrationOf([record()], '2026-06-01', { value: 0.05, unit: 'hL' })).toEqual(first);
});

test('where two regions meet the lower one counts; beyond them nothing is said', () => {
  expect(calibrationOf([record()], '2026-06-01', { value: 10, unit: 'L' })).toMatchObject({ region: 0 });
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
        expect(regions[found.region].from).toBeLessThanOrEqual(value);
        expect(regions[found.region].to).toBeGreaterThanOrEqual(value);
      } else {
        expect(value < sorted[0] || value > sorted[sorted.length - 1]).toBe(true);
      }
    }),
  );
});
