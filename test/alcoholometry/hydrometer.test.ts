import fc from 'fast-check';
import { drinkDensityKgM3 } from '../../src/alcoholometry/liquids/drink.js';
import { densityAt20FromVolumePercent } from '../../src/alcoholometry/liquids/ethanol-water.js';
import {
  fromExtract,
  GRAVITY_SCALES,
  specificGravity20FromDensity,
  toExtract,
} from '../../src/alcoholometry/liquids/gravity-scales.js';
import {
  correctHydrometer,
  densityFromHydrometerKgM3,
  GLASS_EXPANSION_PER_K,
  proofFromHydrometer,
  type HydrometerLiquid,
} from '../../src/alcoholometry/hydrometry/hydrometer.js';
import { alcoholometer } from '../../src/alcoholometry/strength/alcoholometer.js';
import { sucroseSolutionDensityKgM3 } from '../../src/alcoholometry/liquids/sugar-solution.js';
import { readReferenceJson } from '../support/reference-files.js';
import { Comparison, recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

const strengthFromAlcoholometer = (reading: number, temperatureC: number): number =>
  alcoholometer({ reading: { value: reading }, temperature: { value: temperatureC }, basis: { kind: 'distilled' } })
    .strengthPercent.value;

interface HydrometerFile {
  glass_expansion: { value: number; source: string };
  validated_by: { 'with_gamma_25e-6': number; without: number };
}
interface DilutionFile {
  cfr_30_61: { hydrometer_reading_proof: number; temp_F: number; true_proof: number; source: string };
}

const sugar: HydrometerLiquid = { kind: 'sugar-solution' };

describe('hydrometer', () => {
  const file = readReferenceJson<HydrometerFile>('physics/hydrometer-correction.json');
  const { cfr_30_61: cfr } = readReferenceJson<DilutionFile>('physics/dilution-examples.json');
  const temperatureC = (cfr.temp_F - 32) / 1.8;

  it('27 CFR 30.61 to the printed digit, and only with the glass term', () => {
    const proof = proofFromHydrometer(cfr.hydrometer_reading_proof, temperatureC);
    const comparison = new Comparison();
    comparison.add(proof, cfr.true_proof);
    recordReference({
      table: '27 CFR 30.61: proof of 193 read at 75 °F',
      ...comparison,
      tolerance: 0.05,
      unit: 'degrees of proof',
      source: cfr.source,
    });
    expect(Number(proof.toFixed(1))).toBe(cfr.true_proof);
    expect(proof).toBeCloseTo(file.validated_by['with_gamma_25e-6'], 3);
    const withoutGlass = proofFromHydrometer(cfr.hydrometer_reading_proof, temperatureC, 0);
    expect(withoutGlass).toBeCloseTo(file.validated_by.without, 3);
    expect(Number(withoutGlass.toFixed(1))).not.toBe(cfr.true_proof);
  });

  it('has the conventional glass of ISO 1768', () => {
    expect(GLASS_EXPANSION_PER_K).toBe(file.glass_expansion.value);
    const [cold, warm] = [20, 30].map((t) => densityFromHydrometerKgM3({ value: 1000, scale: 'density-kg-m3' }, t));
    expect(cold - warm).toBeCloseTo(0.25, 12);
  });

  it('changes nothing at 20 °C on scales made for it', () => {
    for (const scale of ['sg-20-20', 'plato', 'density-kg-m3'] as const) {
      const reading = { value: fromExtract(12, scale), scale };
      const { gravityAt20 } = correctHydrometer({ reading, sampleTemperatureC: 20, liquid: sugar });
      expect(gravityAt20.scale).toBe(scale);
      expect(gravityAt20.value).toBeCloseTo(reading.value, 9);
    }
  });

  it('finds the sugar solution again, from whatever scale and temperature it was read at', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        fc.constantFrom(...GRAVITY_SCALES),
        (extract, t, scale) => {
          const truth = sucroseSolutionDensityKgM3(extract / 100, t);
          // The mark at which an instrument of this scale floats: the glass taken back out.
          const referenceC = { 'sg-20-20': 20, 'sg-15-15': 15, 'sg-60f-60f': 140 / 9, plato: 20, 'density-kg-m3': 20 }[
            scale
          ];
          const mark = truth / (1 - GLASS_EXPANSION_PER_K * (t - referenceC));
          const unitMark = densityFromHydrometerKgM3({ value: fromExtract(0, scale), scale }, referenceC);
          const value =
            scale === 'density-kg-m3'
              ? mark
              : scale === 'plato'
                ? toExtract({ value: mark, scale: 'density-kg-m3' }).extractPlato
                : (mark - 1.2) / (unitMark - 1.2);
          const corrected = correctHydrometer({ reading: { value, scale }, sampleTemperatureC: t, liquid: sugar });
          expect(corrected.densityKgM3).toBeCloseTo(truth, 8);
          expect(corrected.densityAt20KgM3).toBeCloseTo(sucroseSolutionDensityKgM3(extract / 100, 20), 7);
          expect(toExtract(corrected.gravityAt20).extractPlato).toBeCloseTo(extract, 7);
        },
      ),
    );
  });

  it('reads a warm wort too low: 1.050 at 30 °C is 1.0528', () => {
    const { gravityAt20 } = correctHydrometer({
      reading: { value: 1.05, scale: 'sg-20-20' },
      sampleTemperatureC: 30,
      liquid: sugar,
    });
    expect(gravityAt20.value).toBeCloseTo(1.0528, 4);
  });

  it('lets a finished drink expand as it does: more than water', () => {
    const drink = { strengthPercent: 10, extractPlato: 0.9 };
    const reading = { value: 0.99, scale: 'sg-20-20' } as const;
    const at10 = correctHydrometer({ reading, sampleTemperatureC: 10, liquid: { kind: 'finished-drink', ...drink } });
    const grows = drinkDensityKgM3(drink, 10) / drinkDensityKgM3(drink, 20);
    expect(at10.densityKgM3 / at10.densityAt20KgM3).toBeCloseTo(grows, 12);
    expect(specificGravity20FromDensity(at10.densityAt20KgM3)).toBeCloseTo(at10.gravityAt20.value, 12);
    const asWater = correctHydrometer({ reading, sampleTemperatureC: 10, liquid: sugar });
    expect(asWater.gravityAt20.value).toBeGreaterThan(at10.gravityAt20.value);
  });

  it('gives gravity at 20 °C on sg-20-20 for scales that are not made for 20 °C', () => {
    const reading = { value: 1.05, scale: 'sg-60f-60f' } as const;
    const { gravityAt20 } = correctHydrometer({ reading, sampleTemperatureC: 140 / 9, liquid: sugar });
    expect(gravityAt20.scale).toBe('sg-20-20');
    expect(gravityAt20.value).toBeCloseTo(toExtract(reading).specificGravity20, 9);
  });

  it('takes alcohol–water on a density scale', () => {
    const reading = { value: densityAt20FromVolumePercent(40), scale: 'density-kg-m3' } as const;
    const { densityAt20KgM3 } = correctHydrometer({
      reading,
      sampleTemperatureC: 20,
      liquid: { kind: 'alcohol-water' },
    });
    expect(densityAt20KgM3).toBeCloseTo(reading.value, 8);
    expect(strengthFromAlcoholometer(40, 20)).toBeCloseTo(40, 9);
    expect(strengthFromAlcoholometer(40, 25)).toBeLessThan(40);
    expect(strengthFromAlcoholometer(40, 15)).toBeGreaterThan(40);
  });

  it.each([
    ['a sample above 40 °C', { sampleTemperatureC: 40.1 }, 'out-of-range'],
    ['ice', { sampleTemperatureC: -0.1 }, 'out-of-range'],
    ['glass that does not exist', { glassExpansionPerK: 1e-3 }, 'out-of-range'],
    ['a misplaced point', { reading: { value: 1050, scale: 'sg-20-20' as const } }, 'suspicious-gravity'],
    ['an unknown liquid', { liquid: { kind: 'milk' } as unknown as HydrometerLiquid }, 'unknown-liquid'],
  ])('refuses %s', (_, change, rule) => {
    const input = { reading: { value: 1.05, scale: 'sg-20-20' as const }, sampleTemperatureC: 20, liquid: sugar };
    expect(refusalOf(() => correctHydrometer({ ...input, ...change })).rule).toBe(rule);
  });

  it('refuses an alcoholometer out of range', () => {
    expect(refusalOf(() => strengthFromAlcoholometer(101, 20)).rule).toBe('out-of-range');
    expect(refusalOf(() => strengthFromAlcoholometer(40, 41)).rule).toBe('out-of-range');
    expect(refusalOf(() => proofFromHydrometer(-1, 20)).rule).toBe('out-of-range');
  });
});
