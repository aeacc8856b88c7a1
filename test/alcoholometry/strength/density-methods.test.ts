import fc from 'fast-check';
import { drinkDensityKgM3 } from '../../../src/alcoholometry/liquids/drink.js';
import {
  ethanolWaterDensityKgM3,
  massFractionFromVolumePercent,
} from '../../../src/alcoholometry/liquids/ethanol-water.js';
import { strengthFromAlcoholometer } from '../../support/alcoholometer.js';
import { alcoholDensity } from '../../../src/alcoholometry/strength/alcohol-density.js';
import { alcoholometer } from '../../../src/alcoholometry/strength/alcoholometer.js';
import { strengthFromDensity, type ExtractFree } from '../../../src/alcoholometry/strength/extract-free.js';
import { refusalOf } from '../../support/refusal.js';

const distilled: ExtractFree = { kind: 'distilled' };
const exact = (name: string, u: number) => [{ name, standardUncertainty: u, origin: name }];

describe('strength from density', () => {
  it('inverts OIML R 22 at the temperature of the sample', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        (q, t) => {
          const density = ethanolWaterDensityKgM3(massFractionFromVolumePercent(q), t);
          const { strengthPercent } = alcoholDensity({
            density: { value: density },
            temperature: { value: t },
            basis: distilled,
          });
          expect(Math.abs(strengthPercent.value - q)).toBeLessThanOrEqual(1e-9 * q + 1e-11);
        },
      ),
      { numRuns: 500 },
    );
  });

  it('has sensitivities of its own values', () => {
    const [density, t, h] = [952, 17, 1e-4];
    for (const [grams, allowed] of [
      [0, 1e-6],
      [1, 1e-3],
    ]) {
      const found = strengthFromDensity(density, t, grams);
      const at = (d: number, c: number, r: number) => strengthFromDensity(d, c, r).strengthPercent;
      const near = (slope: number, up: number, down: number): void => {
        expect(Math.abs(slope / ((up - down) / (2 * h)) - 1)).toBeLessThan(allowed);
      };
      near(found.perDensity, at(density + h, t, grams), at(density - h, t, grams));
      near(found.perKelvin, at(density, t + h, grams), at(density, t - h, grams));
      if (grams > 0) near(found.perResidue, at(density, t, grams + h), at(density, t, grams - h));
    }
  });

  it('1 g/L of solids hides 0.24 % vol near 40 %, and a stated residue gives it back', () => {
    const drink = { strengthPercent: 40, extractPlato: 100 / 948.4 };
    const density = { value: drinkDensityKgM3(drink, 20) };
    const temperature = { value: 20 };
    const blind = alcoholDensity({ density, temperature, basis: distilled }).strengthPercent.value;
    // 1 g/L of sucrose adds 0.385 kg/m3 (CRC rows of 0.5 and 1 %); R 22 rows 962.21 and 930.14 kg/m3 at 30 and 50 % vol: −1.604 kg/m3 per % vol.
    const hidden = 0.385 / 1.604;
    expect(40 - blind).toBeCloseTo(hidden, 2);
    const basis = { kind: 'no-solids-added', residueGPerL: 1, residueStandardUncertaintyGPerL: 0.2 } as const;
    const seen = alcoholDensity({ density, temperature, basis });
    expect(seen.strengthPercent.value).toBeCloseTo(40, 4);
    const line = seen.strengthPercent.budget.find(({ name }) => name === 'residue');
    expect(line?.contribution).toBeCloseTo(0.2 * hidden, 3);
  });

  it('has the U of a budget worked by hand at 40 % vol', () => {
    const { strengthPercent } = alcoholDensity({
      density: { value: 948.05, components: exact('meter', 0.05) },
      temperature: { value: 20, components: exact('thermometer', 0.1) },
      basis: distilled,
    });
    // R 22 rows 973.56, 948.05 and 930.14 kg/m3 at 20, 40 and 50 % vol: −1.62 kg/m3 per % vol at 40. ICT rows of 30 and 40 %
    // mass lose 0.63 and 0.74 kg/m3 per K: 0.67 at 33.3 %.
    const perDensity = 1 / 1.62;
    const byHand = 1.96 * Math.hypot(0.05 * perDensity, 0.1 * 0.67 * perDensity, (0.005 / Math.sqrt(3)) * perDensity);
    expect(strengthPercent.value).toBeCloseTo(40, 2);
    expect(Math.abs(strengthPercent.expanded / byHand - 1)).toBeLessThan(0.03);
  });

  it('takes stated defaults and says so', () => {
    const finding = alcoholDensity({ density: { value: 950 }, temperature: { value: 20 }, basis: distilled });
    expect(finding.warnings).toHaveLength(1);
    expect(finding.strengthPercent.budget.map((line) => line.origin)).toContain('default/density-meter');
  });

  it('refuses what may hide solids, and what lies outside', () => {
    const ask = (density: number, temperature: number, basis: ExtractFree | undefined) => () =>
      alcoholDensity({ density: { value: density }, temperature: { value: temperature }, basis });
    expect(refusalOf(ask(950, 20, undefined)).rule).toBe('extract-not-excluded');
    expect(refusalOf(ask(950, 20, { kind: 'sweetened' } as unknown as ExtractFree)).rule).toBe('extract-not-excluded');
    const tooMuch = { kind: 'no-solids-added', residueGPerL: 6, residueStandardUncertaintyGPerL: 0 } as const;
    expect(refusalOf(ask(950, 20, tooMuch)).rule).toBe('out-of-range');
    expect(refusalOf(ask(1010, 20, distilled)).rule).toBe('out-of-range');
    expect(refusalOf(ask(950, 41, distilled)).rule).toBe('out-of-range');
  });
});

describe('alcoholometer', () => {
  it('is the bare correction with a budget', () => {
    for (const [reading, t] of [
      [40, 12],
      [96, 30],
      [5, 20],
    ]) {
      const finding = alcoholometer({ reading: { value: reading }, temperature: { value: t }, basis: distilled });
      expect(finding.strengthPercent.value).toBeCloseTo(strengthFromAlcoholometer(reading, t), 10);
    }
  });

  it('has sensitivities of its own values', () => {
    const [reading, t, h] = [43, 12, 1e-4];
    const { budget } = alcoholometer({
      reading: { value: reading },
      temperature: { value: t },
      basis: distilled,
    }).strengthPercent;
    const perReading =
      (strengthFromAlcoholometer(reading + h, t) - strengthFromAlcoholometer(reading - h, t)) / (2 * h);
    const perKelvin = (strengthFromAlcoholometer(reading, t + h) - strengthFromAlcoholometer(reading, t - h)) / (2 * h);
    expect(budget[0].sensitivity).toBeCloseTo(perReading, 5);
    expect(budget[1].sensitivity).toBeCloseTo(perKelvin, 5);
  });

  it('refuses a liquid with extract and a reading off its scale', () => {
    const ask = (value: number, basis: ExtractFree | undefined) => () =>
      alcoholometer({ reading: { value }, temperature: { value: 20 }, basis });
    expect(refusalOf(ask(40, undefined)).rule).toBe('extract-not-excluded');
    expect(refusalOf(ask(100.1, distilled)).rule).toBe('out-of-range');
    expect(refusalOf(ask(-0.1, distilled)).rule).toBe('out-of-range');
  });
});
