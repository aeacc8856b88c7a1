import { energyPer100Ml } from '../../src/alcoholometry/liquids/energy.js';
import { readReferenceJson } from '../support/reference-files.js';
import { refusalOf } from '../support/refusal.js';

describe('energy in 100 mL', () => {
  test('the factors of alcohol are those of the reference file', () => {
    const { energy_factor_ethanol: factor } = readReferenceJson<{
      energy_factor_ethanol: { kJ_g: number; kcal_g: number };
    }>('physics/constants.json');
    const { alcoholGPer100Ml, kilojoulesPer100Ml, kilocaloriesPer100Ml } = energyPer100Ml({ strengthPercent: 5 });
    expect(alcoholGPer100Ml).toBeCloseTo(3.9462, 4);
    expect(kilojoulesPer100Ml / alcoholGPer100Ml).toBeCloseTo(factor.kJ_g, 10);
    expect(kilocaloriesPer100Ml / alcoholGPer100Ml).toBeCloseTo(factor.kcal_g, 10);
  });

  test('carbohydrate counts 17 kJ and 4 kcal, analysed or as the whole extract', () => {
    const plain = energyPer100Ml({ strengthPercent: 5 });
    const analysed = energyPer100Ml({ strengthPercent: 5, carbohydrateGPer100Ml: 3 });
    expect(analysed.kilojoulesPer100Ml - plain.kilojoulesPer100Ml).toBeCloseTo(51, 10);
    expect(analysed.kilocaloriesPer100Ml - plain.kilocaloriesPer100Ml).toBeCloseTo(12, 10);
    const extract = energyPer100Ml({ strengthPercent: 5, extractPlato: 3 });
    expect(extract.carbohydrateGPer100Ml).toBeCloseTo(3 * 1.0028, 3);
    expect(extract.warnings).toHaveLength(1);
  });

  test('water has none', () => {
    expect(energyPer100Ml({ strengthPercent: 0 })).toMatchObject({ kilojoulesPer100Ml: 0, kilocaloriesPer100Ml: 0 });
  });

  test('refused', () => {
    expect(refusalOf(() => energyPer100Ml({ strengthPercent: -1 })).rule).toBe('out-of-range');
    expect(refusalOf(() => energyPer100Ml({ strengthPercent: NaN })).rule).toBe('not-finite');
    expect(refusalOf(() => energyPer100Ml({ strengthPercent: 5, extractPlato: 61 })).rule).toBe('out-of-range');
    expect(refusalOf(() => energyPer100Ml({ strengthPercent: 5, carbohydrateGPer100Ml: -1 })).rule).toBe(
      'out-of-range',
    );
    expect(
      refusalOf(() => energyPer100Ml({ strengthPercent: 5, carbohydrateGPer100Ml: 1, extractPlato: 1 })).rule,
    ).toBe('contradictory');
  });
});
