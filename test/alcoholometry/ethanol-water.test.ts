import fc from 'fast-check';
import {
  densityAt20FromVolumePercent,
  ETHANOL_DENSITY_20_KG_M3,
  ethanolWaterDensityKgM3,
  ethanolWaterPartials,
  freezingTemperatureC,
  massFractionFromDensity,
  massFractionFromVolumePercent,
  R22_WATER_DENSITY_20_KG_M3,
  volumeAt20L,
  volumePercentFromMassFraction,
} from '../../src/alcoholometry/liquids/ethanol-water.js';
import {
  densityAt60FKgM3,
  massFractionFromUsProof,
  proofGallons,
  usProof,
  volumePercentAt60F,
} from '../../src/alcoholometry/hydrometry/us-proof.js';
import { readReferenceJson } from '../support/reference-files.js';
import { refusalOf } from '../support/refusal.js';

const fraction = fc.double({ min: 0, max: 1, noNaN: true });

describe('ethanol–water', () => {
  it('inverts density to 1e-9 relative over the whole liquid range', () => {
    fc.assert(
      fc.property(fraction, fc.double({ min: -20, max: 40, noNaN: true }), (p, t) => {
        fc.pre(t >= Math.min(0, freezingTemperatureC(p)));
        const back = massFractionFromDensity(ethanolWaterDensityKgM3(p, t), t);
        // Near nothing a density in double precision no longer holds 1e-9 of it.
        expect(Math.abs(back - p)).toBeLessThanOrEqual(1e-9 * p + 1e-14);
      }),
      { numRuns: 5000 },
    );
  });

  it('inverts strength by volume at 20 °C and at 60 °F to 1e-9 relative', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-12, max: 100, noNaN: true }), (q) => {
        expect(Math.abs(volumePercentFromMassFraction(massFractionFromVolumePercent(q)) - q)).toBeLessThanOrEqual(
          1e-9 * q,
        );
        expect(Math.abs(usProof(massFractionFromUsProof(2 * q)) - 2 * q)).toBeLessThanOrEqual(2e-9 * q);
      }),
      { numRuns: 2000 },
    );
  });

  it('has the slopes of its own values', () => {
    const h = 1e-5;
    for (const [p, t] of [
      [0.05, 5],
      [0.4, 38],
      [0.95, -10],
    ]) {
      const slopes = ethanolWaterPartials(p, t);
      const perFraction = (ethanolWaterDensityKgM3(p + h, t) - ethanolWaterDensityKgM3(p - h, t)) / (2 * h);
      const perKelvin = (ethanolWaterDensityKgM3(p, t + h) - ethanolWaterDensityKgM3(p, t - h)) / (2 * h);
      expect(slopes.densityKgM3).toBe(ethanolWaterDensityKgM3(p, t));
      expect(slopes.perMassFraction).toBeCloseTo(perFraction, 4);
      expect(slopes.perKelvin).toBeCloseTo(perKelvin, 4);
    }
  });

  it('falls with the mass fraction everywhere, so that a density has one strength', () => {
    for (let t = -20; t <= 40; t += 5) {
      for (let p = 0.33; p < 1; p += 0.01) expect(ethanolWaterPartials(p, t).perMassFraction).toBeLessThan(-50);
      if (t >= 0)
        for (let p = 0; p < 0.33; p += 0.005) expect(ethanolWaterPartials(p, t).perMassFraction).toBeLessThan(-80);
    }
  });

  it('keeps mass when it brings a volume to 20 °C', () => {
    fc.assert(
      fc.property(
        fraction,
        fc.double({ min: 0, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 1e6, noNaN: true }),
        (p, t, v) => {
          const at20 = volumeAt20L(v, t, p);
          expect(at20 * ethanolWaterDensityKgM3(p, 20)).toBeCloseTo(v * ethanolWaterDensityKgM3(p, t), 3);
        },
      ),
    );
  });

  it('has the constants of the reference file', () => {
    const file = readReferenceJson<{ ethanol_density_20C: { value: number }; 'ethanol_density_15.56C_R22': number }>(
      'physics/constants.json',
    );
    expect(Math.abs(ETHANOL_DENSITY_20_KG_M3 - file.ethanol_density_20C.value)).toBeLessThan(0.005);
    expect(densityAt60FKgM3(1)).toBeCloseTo(file['ethanol_density_15.56C_R22'], 3);
    expect(R22_WATER_DENSITY_20_KG_M3).toBeCloseTo(998.2012, 4);
    expect(densityAt20FromVolumePercent(100)).toBeCloseTo(ETHANOL_DENSITY_20_KG_M3, 9);
  });

  it('knows 60 °F from 20 °C: 5 % vol at 20 °C is less at 60 °F', () => {
    const at60 = volumePercentAt60F(massFractionFromVolumePercent(5));
    expect(at60).toBeLessThan(5);
    expect(at60).toBeGreaterThan(4.95);
    expect(proofGallons(100, 2 * at60)).toBeCloseTo(2 * at60, 12);
  });

  it.each([
    ['more than the whole', () => ethanolWaterDensityKgM3(1.0001, 20), 'out-of-range'],
    ['below −20 °C', () => ethanolWaterDensityKgM3(0.5, -20.1), 'out-of-range'],
    ['above 40 °C', () => massFractionFromDensity(950, 40.1), 'out-of-range'],
    ['denser than water', () => massFractionFromDensity(998.21, 20), 'out-of-range'],
    ['lighter than ethanol', () => massFractionFromDensity(789, 20), 'out-of-range'],
    ['ice', () => ethanolWaterDensityKgM3(0.1, -10), 'frozen'],
    ['a density that only ice would have', () => massFractionFromDensity(990, -15), 'out-of-range'],
    ['not a number', () => massFractionFromVolumePercent(NaN), 'not-finite'],
    ['strength above 100 %', () => massFractionFromVolumePercent(100.001), 'out-of-range'],
    ['negative strength', () => massFractionFromVolumePercent(-0.001), 'out-of-range'],
    ['proof above 200', () => massFractionFromUsProof(201), 'out-of-range'],
    ['a negative volume', () => volumeAt20L(-1, 20, 0.1), 'out-of-range'],
  ])('refuses %s', (_, run, rule) => {
    expect(refusalOf(run).rule).toBe(rule);
  });
});
