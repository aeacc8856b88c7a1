import fc from 'fast-check';
import { massFromWeighingKg, weighingFromMassKg } from '../../src/alcoholometry/liquids/air-buoyancy.js';
import {
  degassedVolumeL,
  drinkByMass,
  drinkDensityByMassKgM3,
  drinkDensityKgM3,
  drinkPartials,
  drinkVolumeAt20L,
  hotWortVolumeAt20L,
  strengthOfDrinkPercent,
} from '../../src/alcoholometry/liquids/drink.js';
import {
  densityAt20FromVolumePercent,
  ethanolWaterDensityKgM3,
  R22_WATER_DENSITY_20_KG_M3,
} from '../../src/alcoholometry/liquids/ethanol-water.js';
import { specificGravity20FromDensity } from '../../src/alcoholometry/liquids/gravity-scales.js';
import { sucroseSolutionDensityKgM3 } from '../../src/alcoholometry/liquids/sugar-solution.js';
import { fermentedExcessKgM3 } from '../../src/alcoholometry/strength/composition.js';
import { massBalance } from '../../src/alcoholometry/strength/mass-balance.js';
import { refusalOf } from '../support/refusal.js';

const beer = { strengthPercent: 5, extractPlato: 4 };

describe('density of a drink', () => {
  it('is OIML R 22 without extract', () => {
    for (const strengthPercent of [0, 5, 40, 96]) {
      expect(drinkDensityKgM3({ strengthPercent, extractPlato: 0 }, 20)).toBe(
        densityAt20FromVolumePercent(strengthPercent),
      );
    }
    expect(drinkDensityByMassKgM3({ alcoholMassFraction: 0.5, extractPlato: 0 }, -15)).toBe(
      ethanolWaterDensityKgM3(0.5, -15),
    );
  });

  it('is a sugar solution without alcohol, but for the two waters', () => {
    const difference =
      drinkDensityKgM3({ strengthPercent: 0, extractPlato: 12 }, 20) - sucroseSolutionDensityKgM3(0.12, 20);
    expect(Math.abs(difference)).toBeLessThan(0.006);
  });

  it('is continuous where the extract vanishes', () => {
    const without = drinkDensityKgM3({ strengthPercent: 7, extractPlato: 0 }, 12);
    expect(drinkDensityKgM3({ strengthPercent: 7, extractPlato: 1e-9 }, 12)).toBeCloseTo(without, 6);
  });

  it('gives back the gravity that a mass balance started from, but for the convention of making up', () => {
    const finding = massBalance({
      original: { value: 1.052, scale: 'sg-20-20' },
      final: { value: 1.012, scale: 'sg-20-20' },
    });
    const drink = { strengthPercent: finding.strengthPercent.value, extractPlato: finding.realExtractPlato ?? NaN };
    // Made up to mass, as the balance is. The drink's own water is that of R 22, the scale's that of Kell: 0.002 kg/m3 between them.
    const { alcoholMassFraction, extractPlato } = drinkByMass(drink);
    const balance = R22_WATER_DENSITY_20_KG_M3 + fermentedExcessKgM3(alcoholMassFraction, extractPlato, 20);
    expect(specificGravity20FromDensity(balance)).toBeCloseTo(1.012, 5);
    // Made up to volume it is lighter by the published 0.05 to 0.12 °P, 3.9 kg/m3 each.
    const lighter = balance - drinkDensityKgM3(drink, 20);
    expect(lighter).toBeGreaterThan(0.05 * 3.9);
    expect(lighter).toBeLessThan(0.12 * 3.9);
    // OIML R 22 alone would be 2 % off, as kilograms become litres.
    const off = drinkDensityKgM3(drink, 20) / densityAt20FromVolumePercent(drink.strengthPercent) - 1;
    expect(off).toBeGreaterThan(0.018);
    expect(off).toBeLessThan(0.022);
  });

  it('inverts strength to 1e-9 relative, with extract from −5 to 60 °P', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-9, max: 1, noNaN: true }),
        fc.double({ min: -5, max: 60, noNaN: true }),
        (a, extract) => {
          const alcoholMassFraction = a * Math.min(1, 1 - extract / 100);
          const drink = { alcoholMassFraction, extractPlato: extract };
          const strengthPercent = strengthOfDrinkPercent(drink);
          fc.pre(strengthPercent <= 100);
          const back = drinkByMass({ strengthPercent, extractPlato: extract }).alcoholMassFraction;
          expect(Math.abs(back - alcoholMassFraction)).toBeLessThanOrEqual(1e-9 * alcoholMassFraction + 1e-14);
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('has the slopes of its own values', () => {
    const [a, e, t, h] = [0.06, 3, 14, 1e-4];
    const at = (alcoholMassFraction: number, extractPlato: number, c: number) =>
      drinkDensityByMassKgM3({ alcoholMassFraction, extractPlato }, c);
    const slopes = drinkPartials({ alcoholMassFraction: a, extractPlato: e }, t);
    expect(slopes.perAlcoholMassFraction).toBeCloseTo((at(a + h, e, t) - at(a - h, e, t)) / (2 * h), 3);
    expect(slopes.perExtractPlato).toBeCloseTo((at(a, e + h, t) - at(a, e - h, t)) / (2 * h), 5);
    expect(slopes.perKelvin).toBeCloseTo((at(a, e, t + h) - at(a, e, t - h)) / (2 * h), 5);
  });

  it('turns kilograms into a weighing in air and back', () => {
    const mass = drinkDensityKgM3(beer, 20);
    const shown = weighingFromMassKg(mass, drinkDensityKgM3(beer, 20));
    expect(shown / mass).toBeCloseTo(1 - 0.00104, 4);
    expect(massFromWeighingKg(shown, drinkDensityKgM3(beer, 20))).toBeCloseTo(mass, 9);
  });

  it('shrinks on cooling as its density says', () => {
    expect(drinkVolumeAt20L(1000, 20, beer)).toBe(1000);
    expect(drinkVolumeAt20L(1000, 2, beer)).toBeGreaterThan(1001);
    expect(drinkVolumeAt20L(1000, 2, beer)).toBeLessThan(1004);
  });

  it('takes dissolved CO2 out of a gauge: 5 g/L is 0.39 %', () => {
    const { volumeL, standardUncertaintyL } = degassedVolumeL(1000, 5);
    expect(1000 - volumeL).toBeCloseTo(3.86, 2);
    expect(standardUncertaintyL).toBeCloseTo(0.17, 2);
    expect(degassedVolumeL(1000, 0)).toEqual({ volumeL: 1000, standardUncertaintyL: 0 });
  });

  it('cools boiling wort by the common 4 %', () => {
    expect(hotWortVolumeAt20L(100, 100, 12)).toBeCloseTo(96, 0);
    expect(hotWortVolumeAt20L(100, 20, 12)).toBe(100);
  });

  it.each([
    [
      'alcohol and extract above the whole',
      () => drinkDensityByMassKgM3({ alcoholMassFraction: 0.9, extractPlato: 20 }, 20),
      'contradictory',
    ],
    ['96 % vol with 30 °P', () => drinkDensityKgM3({ strengthPercent: 96, extractPlato: 30 }, 20), 'contradictory'],
    ['extract above 60 °P', () => drinkDensityKgM3({ strengthPercent: 5, extractPlato: 61 }, 20), 'out-of-range'],
    ['a drink with extract below 0 °C', () => drinkDensityKgM3(beer, -1), 'out-of-range'],
    ['a negative volume', () => drinkVolumeAt20L(-1, 20, beer), 'out-of-range'],
    ['steam', () => hotWortVolumeAt20L(1, 101, 10), 'out-of-range'],
    ['CO2 beyond any drink', () => degassedVolumeL(1, 21), 'out-of-range'],
  ])('refuses %s', (_, run, rule) => expect(refusalOf(run).rule).toBe(rule));
});
