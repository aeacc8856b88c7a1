import { calibrationOrigin } from '../../../src/alcoholometry/strength/defaults.js';
import { massBalance } from '../../../src/alcoholometry/strength/mass-balance.js';

// The width of 20 points is common practice, no source. It has to keep original and final gravity of an ordinary drink apart.
test.each([
  [1.06, 1.0799, true],
  [1.06, 1.0599, false],
  [1.065, 1.01, false],
  [1.045, 1.015, false],
  [1.04, 1.02, false],
  [0.998, 0.9801, true],
  [0.98, 0.9799, false],
])('readings at %f and %f share the error of one instrument: %s', (one, other, shared) => {
  expect(calibrationOrigin('h', one) === calibrationOrigin('h', other)).toBe(shared);
});

test('two instruments never share an error', () => {
  expect(calibrationOrigin('a', 1.05)).not.toBe(calibrationOrigin('b', 1.05));
});

test('the errors of a hydrometer at 1.065 and at 1.010 do not cancel', () => {
  const reading = (value: number, origin: string) => ({
    value,
    scale: 'sg-20-20' as const,
    sampleTemperatureC: 20,
    components: [{ name: 'calibration', standardUncertainty: 0.001, distribution: 'normal' as const, origin }],
  });
  const uncertainty = (originOf: (value: number) => string): number => {
    const [original, final] = [1.065, 1.01].map((value) => reading(value, originOf(value)));
    return massBalance({ original, final, model: { kind: 'sugar' } }).strengthPercent.standard;
  };
  const asMade = uncertainty((value) => calibrationOrigin('h', value));
  expect(asMade).toBeCloseTo(uncertainty(String), 12);
  // One origin for the whole scale would let a point too much at both ends cancel.
  expect(asMade).toBeGreaterThan(1.1 * uncertainty(() => 'h'));
});
