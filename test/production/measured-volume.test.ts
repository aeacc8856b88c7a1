import { measuredVolume } from '../../src/production/measuring/volumes/measured-volume.js';
import type { VesselLiquid } from '../../src/production/measuring/volumes/measured-volume.js';

const ORIGINS = { scale: 'scale', reading: 'reading' };
const litres = (value: number) => ({ value, unit: 'L' });
const celsius = (value: number) => ({ value, unit: 'Cel' });
const ofTemperature = (liquid: VesselLiquid, temperatureC?: number): number => {
  const { byOrigin } = measuredVolume(
    {
      volume: litres(1000),
      standardUncertainty: litres(0),
      ...(temperatureC === undefined ? {} : { temperature: celsius(temperatureC) }),
    },
    liquid,
    undefined,
    ORIGINS,
  );
  return byOrigin.find(([origin]) => origin === 'reading/temperature')?.[1] ?? NaN;
};

const drink = (strengthPercent: number, extractPlato = 0): VesselLiquid => ({
  kind: 'drink',
  strengthPercent,
  extractPlato,
});

// International Critical Tables III 116: 52 % ethanol by mass, about 60 % vol, has 0.91333, 0.90936 and 0.90534 g/cm3 at 15, 20 and 25 °C.
const AT_60_PERCENT = (0.91333 - 0.90534) / 10 / 0.90936;
// Water: 0.999103, 0.998207 and 0.997047 g/cm3 at 15, 20 and 25 °C (CIPM 2001).
const OF_WATER = (0.999103 - 0.997047) / 10 / 0.998207;

test.each([
  ['spirit of 60 % vol', drink(60), AT_60_PERCENT],
  ['water', drink(0), OF_WATER],
])('%s: the litres change with an uncertain temperature by its own expansion', (_, liquid, perKelvin) => {
  // 1000 L read to ± 0.5 °C, and taken as 20 ± 5 °C; rectangular. The table and R 22 agree to 1e-4 g/cm3, 1 % of the change over 10 K.
  expect(ofTemperature(liquid, 20) / ((1000 * perKelvin * 0.5) / Math.sqrt(3))).toBeCloseTo(1, 2);
  expect(ofTemperature(liquid) / ((1000 * perKelvin * 5) / Math.sqrt(3))).toBeCloseTo(1, 2);
});

test('it is the slope where the liquid is, to the ends of the range', () => {
  // A cold beer hardly expands, hot wort does: water has −0.03, and 0.71 per thousand and kelvin at 4 and 95 °C (Kell's formula).
  expect(ofTemperature(drink(5, 3), 2)).toBeLessThan(0.1 * ofTemperature(drink(60), 20));
  const hot = ofTemperature({ kind: 'wort', extractPlato: 12 }, 95);
  expect(hot).toBeGreaterThan((1000 * 6.5e-4 * 0.5) / Math.sqrt(3));
  expect(hot).toBeLessThan((1000 * 7.5e-4 * 0.5) / Math.sqrt(3));
  for (const [liquid, temperatureC] of [
    [drink(5, 3), 0],
    [drink(5, 3), 40],
    [{ kind: 'wort', extractPlato: 12 } as const, 100],
    [{ kind: 'wort', extractPlato: 12 } as const, 0],
  ] as const) {
    expect(Number.isFinite(ofTemperature(liquid, temperatureC))).toBe(true);
  }
});
