import { effectiveOriginalGravity } from '../../../src/alcoholometry/strength/effective-original.js';
import { evaluatePoint } from '../../../src/alcoholometry/strength/mass-balance-point.js';
import type { MeasuredGravity } from '../../../src/alcoholometry/strength/mass-balance-point.js';

const exact = (value: number) => ({ value, components: [] });
const sugar = { vesselMassKg: exact(95), addedMassKg: exact(5), addedExtractPercent: exact(100) };

const read = (value: number, more: Partial<MeasuredGravity> = {}): MeasuredGravity => ({
  value,
  scale: 'sg-20-20',
  components: [{ name: 'reading', standardUncertainty: 0.001, origin: 'reading' }],
  ...more,
});

const extractOf = (gravity: MeasuredGravity): number =>
  evaluatePoint({ original: gravity, final: gravity }).originalExtract;

test('without additions the gravity is what was read', () => {
  const gravity = read(1.05);
  expect(effectiveOriginalGravity(gravity, [])).toBe(gravity);
});

test('10 °P with 5 kg of sugar in 95 kg is 14.5 °P', () => {
  const { value, scale } = effectiveOriginalGravity({ value: 10, scale: 'plato', components: [] }, [sugar]);
  expect(scale).toBe('plato');
  expect(value).toBeCloseTo((95 * 10 + 5 * 100) / 100, 6);
});

test('a point of the reading weighs in as the vessel does, a degree of its temperature too', () => {
  const temperature = [{ name: 'temperature', standardUncertainty: 0.5, origin: 'thermometer' }];
  const at = (value: number, sampleTemperatureC: number) =>
    read(value, { sampleTemperatureC, temperatureComponents: temperature });
  const gravity = at(1.04, 25);
  const { components = [] } = effectiveOriginalGravity(gravity, [sugar]);
  const effect = (origin: string): number =>
    components
      .filter((each) => each.origin === origin)
      .reduce((sum, each) => sum + (each.sensitivity ?? 1) * each.standardUncertainty, 0);
  // By differences of what the whole gives; 95 of 100 kg are the vessel's.
  const perReading = (extractOf(at(1.041, 25)) - extractOf(at(1.039, 25))) / 2;
  const perKelvin = extractOf(at(1.04, 25.5)) - extractOf(at(1.04, 24.5));
  expect(effect('reading')).toBeCloseTo(0.95 * perReading, 5);
  expect(effect('thermometer')).toBeCloseTo(0.95 * 0.5 * perKelvin, 5);
});
