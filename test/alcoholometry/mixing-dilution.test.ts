import fc from 'fast-check';
import { ethanolWaterDensityKgM3 } from '../../src/alcoholometry/liquids/ethanol-water.js';
import { dilute, type DilutionInput } from '../../src/alcoholometry/mixing/dilution.js';
import { mix } from '../../src/alcoholometry/mixing/mix.js';
import { bringToStrength } from '../../src/alcoholometry/mixing/to-strength.js';
import { refusalOf } from '../support/refusal.js';

describe('known dilutions', () => {
  test('2.375 L of 40 % in 19 L make 5 %', () => {
    const { volumeL, pureAlcoholL, waterVolumeL } = dilute({
      strengthPercent: 40,
      targetStrengthPercent: 5,
      finalVolumeL: 19,
    });
    expect(volumeL).toBeCloseTo(2.375, 9);
    expect(pureAlcoholL).toBeCloseTo(0.95, 9);
    expect(waterVolumeL).toBeCloseTo(16.6083, 3);
  });

  test('per 100 L of result: 14 to 5 % gains 0.07 L, 96 to 5 % loses 0.28 L', () => {
    const gain = dilute({ strengthPercent: 14, targetStrengthPercent: 5, finalVolumeL: 100 });
    const loss = dilute({ strengthPercent: 96, targetStrengthPercent: 5, finalVolumeL: 100 });
    expect(gain.volumeChangeL).toBeCloseTo(0.0676, 3);
    expect(loss.volumeChangeL).toBeCloseTo(-0.2796, 3);
  });
});

const strengths = fc
  .tuple(fc.double({ min: 4, max: 96, noNaN: true }), fc.double({ min: 0.02, max: 0.999, noNaN: true }))
  .map(([strengthPercent, part]) => ({ strengthPercent, targetStrengthPercent: strengthPercent * part }));

describe('what holds for every dilution', () => {
  test.each([false, true])('mass, pure alcohol and extract are conserved (extract: %s)', (withExtract) => {
    fc.assert(
      fc.property(
        strengths,
        fc.double({ min: 0.1, max: 1e5, noNaN: true }),
        fc.double({ min: 0.5, max: 12, noNaN: true }),
        ({ strengthPercent, targetStrengthPercent }, volumeL, extractPlato) => {
          const input: DilutionInput = {
            strengthPercent: withExtract ? strengthPercent / 4 : strengthPercent,
            targetStrengthPercent: withExtract ? targetStrengthPercent / 4 : targetStrengthPercent,
            volumeL,
            ...(withExtract ? { extractPlato } : {}),
          };
          const found = bringToStrength({
            start: { strengthPercent: input.strengthPercent, extractPlato: input.extractPlato },
            addition: { strengthPercent: 0 },
            targetStrengthPercent: input.targetStrengthPercent,
            volumeL,
          });
          const { waterMassKg, volumeChangeL, finalVolumeL, waterVolumeL, result } = dilute(input);
          expect(result.massKg / (found.start.massKg + waterMassKg)).toBeCloseTo(1, 12);
          expect(result.pureAlcoholL / ((volumeL * input.strengthPercent) / 100)).toBeCloseTo(1, 12);
          expect(result.extractKg).toBeCloseTo(found.start.extractKg, 9 - Math.ceil(Math.log10(volumeL + 1)));
          expect(result.strengthPercent / input.targetStrengthPercent).toBeCloseTo(1, 10);
          expect((finalVolumeL - volumeL - waterVolumeL - volumeChangeL) / finalVolumeL).toBeCloseTo(0, 12);
        },
      ),
      { numRuns: 300 },
    );
  });

  test('start volume and final volume are two reconciliation to one dilution', () => {
    fc.assert(
      fc.property(strengths, fc.double({ min: 0, max: 20, noNaN: true }), (pair, temperatureC) => {
        const there = dilute({ ...pair, volumeL: 10, temperatureC });
        const back = dilute({ ...pair, finalVolumeL: there.finalVolumeL, temperatureC });
        expect(back.volumeAtTemperatureL).toBeCloseTo(10, 8);
        expect(back.waterMassKg / there.waterMassKg).toBeCloseTo(1, 9);
      }),
    );
  });

  test('a mixture of start and water has the target strength again', () => {
    const { volumeL, waterVolumeL, result } = dilute({
      strengthPercent: 12,
      targetStrengthPercent: 5,
      volumeL: 250,
      extractPlato: 4,
    });
    const mixed = mix([
      { volumeL, strengthPercent: 12, extractPlato: 4 },
      { volumeL: waterVolumeL, strengthPercent: 0 },
    ]);
    expect(mixed.strengthPercent).toBeCloseTo(5, 10);
    expect(mixed.volumeL).toBeCloseTo(result.volumeL, 8);
  });
});

describe('fortification, other diluents, temperatures, measured density', () => {
  test('a stronger liquid raises the strength, extract is thinned', () => {
    const { result, addition } = bringToStrength({
      start: { strengthPercent: 12, extractPlato: 8 },
      addition: { strengthPercent: 96 },
      targetStrengthPercent: 18,
      volumeL: 100,
    });
    expect(result.strengthPercent).toBeCloseTo(18, 10);
    expect(addition.volumeL).toBeGreaterThan(7);
    expect(addition.volumeL).toBeLessThan(8);
    expect(result.extractPlato).toBeLessThan(8);
  });

  test('a diluting drink brings its own alcohol and extract', () => {
    const { result, addition, start } = bringToStrength({
      start: { strengthPercent: 10, extractPlato: 2 },
      addition: { strengthPercent: 1, extractPlato: 9 },
      targetStrengthPercent: 4,
      finalVolumeL: 1000,
    });
    expect(result.volumeL).toBeCloseTo(1000, 7);
    expect(result.pureAlcoholL).toBeCloseTo(40, 8);
    expect(start.pureAlcoholL + addition.pureAlcoholL).toBeCloseTo(40, 8);
    expect(result.extractKg).toBeCloseTo(start.extractKg + addition.extractKg, 10);
  });

  test('a cold volume holds more: 100 L at 5 °C are over 100 L at 20 °C', () => {
    const { volumeL, volumeAtTemperatureL, waterVolumeL, waterVolumeAtTemperatureL } = dilute({
      strengthPercent: 40,
      targetStrengthPercent: 5,
      volumeL: 100,
      temperatureC: 5,
      waterTemperatureC: 5,
    });
    expect(volumeAtTemperatureL).toBe(100);
    const p = massFractionOf(40);
    expect(volumeL).toBeCloseTo((100 * ethanolWaterDensityKgM3(p, 5)) / ethanolWaterDensityKgM3(p, 20), 8);
    expect(waterVolumeAtTemperatureL).toBeLessThan(waterVolumeL);
  });

  test('a measured density counts instead of an extract, and the two agree where they mean the same', () => {
    const stated = dilute({ strengthPercent: 6, targetStrengthPercent: 4, volumeL: 100, extractPlato: 5 });
    const startDensity = mix([{ volumeL: 1, strengthPercent: 6, extractPlato: 5 }]).densityKgM3;
    const measured = dilute({ strengthPercent: 6, targetStrengthPercent: 4, volumeL: 100, densityKgM3: startDensity });
    expect(measured.waterMassKg).toBeCloseTo(stated.waterMassKg, 3);
    expect(measured.result.extractPlato).toBeCloseTo(stated.result.extractPlato, 3);
    const odd = dilute({
      strengthPercent: 6,
      targetStrengthPercent: 4,
      volumeL: 100,
      densityKgM3: startDensity,
      extractPlato: 2,
    });
    expect(odd.warnings.join(' ')).toContain('the density is used');
  });

  test('the same strength needs no water', () => {
    const { waterMassKg, volumeChangeL } = dilute({ strengthPercent: 40, targetStrengthPercent: 40, volumeL: 10 });
    expect(waterMassKg).toBe(0);
    expect(volumeChangeL).toBeCloseTo(0, 12);
  });
});

function massFractionOf(strengthPercent: number): number {
  const { alcoholKg, massKg } = mix([{ volumeL: 1, strengthPercent }]);
  return alcoholKg / massKg;
}

describe('refused', () => {
  const good: DilutionInput = { strengthPercent: 40, targetStrengthPercent: 5, volumeL: 10 };
  test.each<[string, DilutionInput, string, string]>([
    ['target above the start', { ...good, targetStrengthPercent: 41 }, 'no-solution', 'targetStrength'],
    ['target zero', { ...good, targetStrengthPercent: 0 }, 'out-of-range', 'targetStrength'],
    ['both volumes', { ...good, finalVolumeL: 80 }, 'contradictory', 'volume'],
    ['neither volume', { ...good, volumeL: undefined }, 'contradictory', 'volume'],
    ['no volume at all', { ...good, volumeL: 0 }, 'out-of-range', 'volume'],
    ['negative volume', { ...good, volumeL: -1 }, 'out-of-range', 'volume'],
    ['strength above 100', { ...good, strengthPercent: 100.001 }, 'out-of-range', 'start.strength'],
    ['strength not finite', { ...good, strengthPercent: NaN }, 'not-finite', 'start.strength'],
    ['target not finite', { ...good, targetStrengthPercent: Infinity }, 'not-finite', 'targetStrength'],
    ['extract above 60 °P', { ...good, extractPlato: 61 }, 'out-of-range', 'start.extract'],
    ['density that no drink has', { ...good, densityKgM3: 2000 }, 'out-of-range', 'start.density'],
    ['density that this strength cannot have', { ...good, densityKgM3: 800 }, 'contradictory', 'start.density'],
    ['temperature out of range', { ...good, temperatureC: 60 }, 'out-of-range', 'start.temperature'],
    ['water temperature out of range', { ...good, waterTemperatureC: -30 }, 'out-of-range', 'addition.temperature'],
    ['strength without any alcohol', { ...good, strengthPercent: 0 }, 'no-solution', 'targetStrength'],
  ])('%s', (_name, input, rule, pointer) => {
    const refusal = refusalOf(() => dilute(input));
    expect({ rule: refusal.rule, pointer: refusal.details.pointer }).toEqual({ rule, pointer });
  });

  test('a target that does not lie between the two liquids, with the possible range', () => {
    const refusal = refusalOf(() =>
      bringToStrength({
        start: { strengthPercent: 12 },
        addition: { strengthPercent: 6 },
        targetStrengthPercent: 5,
        volumeL: 1,
      }),
    );
    expect(refusal.rule).toBe('no-solution');
    expect(refusal.details.range).toEqual([6, 12]);
  });
});
