import fc from 'fast-check';
import { dose, type DoseInput } from '../../src/alcoholometry/mixing/dose.js';
import { liquidOfMasses, liquidOfVolume, partialVolumes } from '../../src/alcoholometry/liquids/liquid.js';
import { MAXIMUM_MIX_COMPONENTS, mix, type MixComponent } from '../../src/alcoholometry/mixing/mix.js';
import { addSolids, type SolidsInput } from '../../src/alcoholometry/mixing/solids.js';
import { refusalOf } from '../support/refusal.js';

const component = fc.record({
  volumeL: fc.double({ min: 0.5, max: 5000, noNaN: true }),
  strengthPercent: fc.double({ min: 0, max: 60, noNaN: true }),
  extractPlato: fc.double({ min: 0, max: 25, noNaN: true }),
});
const components = fc.array(component, { minLength: 1, maxLength: 8 });

describe('mix', () => {
  test('mass, pure alcohol and extract are conserved; volume change is result minus inputs', () => {
    fc.assert(
      fc.property(components, fc.boolean(), (list, withExtract) => {
        const given: MixComponent[] = list.map(({ extractPlato, ...rest }) =>
          withExtract ? { ...rest, extractPlato } : rest,
        );
        const mixed = mix(given);
        const sum = (of: (liquid: (typeof mixed.components)[number]) => number): number =>
          mixed.components.reduce((total, liquid) => total + of(liquid), 0);
        expect(mixed.massKg / sum(({ massKg }) => massKg)).toBeCloseTo(1, 12);
        const alcoholL = given.reduce(
          (total, { volumeL, strengthPercent }) => total + (volumeL * strengthPercent) / 100,
          0,
        );
        expect(mixed.pureAlcoholL).toBeCloseTo(alcoholL, 8);
        expect(mixed.extractKg).toBeCloseTo(
          sum(({ extractKg }) => extractKg),
          8,
        );
        expect((mixed.strengthPercent / 100) * mixed.volumeL).toBeCloseTo(mixed.pureAlcoholL, 8);
        expect(mixed.volumeL - sum(({ volumeL }) => volumeL)).toBeCloseTo(mixed.volumeChangeL, 8);
      }),
      { numRuns: 300 },
    );
  });

  test('order and splitting of components do not matter', () => {
    const [a, b] = [
      { volumeL: 30, strengthPercent: 40 },
      { volumeL: 70, strengthPercent: 5, extractPlato: 6 },
    ];
    const once = mix([a, b]);
    const other = mix([{ ...b, volumeL: 20 }, a, { ...b, volumeL: 50 }]);
    expect(other.volumeL).toBeCloseTo(once.volumeL, 10);
    expect(other.strengthPercent).toBeCloseTo(once.strengthPercent, 11);
  });

  test('sensitivities are the derivatives: against central differences', () => {
    const inputs = ['volumeL', 'strengthPercent', 'extractPlato', 'densityKgM3'] as const;
    const names = ['perVolumeL', 'perStrengthPercent', 'perExtractPlato', 'perDensityKgM3'] as const;
    const measured = { volumeL: 20, strengthPercent: 8, densityKgM3: 1010 };
    fc.assert(
      fc.property(fc.array(component, { minLength: 1, maxLength: 4 }), (list) => {
        const all: (MixComponent & Partial<Record<(typeof inputs)[number], number>>)[] = [...list, measured];
        const mixed = mix(all);
        all.forEach((one, i) => {
          inputs.forEach((input, k) => {
            const value = one[input];
            if (value === undefined || value < 0.01) return;
            const step = 1e-4 * value;
            const at = (x: number): ReturnType<typeof mix> =>
              mix(all.map((c, j) => (j === i ? { ...c, [input]: x } : c)));
            const [up, down] = [at(value + step), at(value - step)];
            const { strength, volume, pureAlcohol } = mixed.sensitivities[i];
            const slope = (of: (m: typeof up) => number): number => (of(up) - of(down)) / (2 * step);
            const close = (exact: number, numeric: number): void =>
              expect(Math.abs(exact - numeric)).toBeLessThanOrEqual(
                2e-6 * Math.abs(numeric) + (1e-12 * mixed.volumeL) / step,
              );
            close(
              strength[names[k]],
              slope((m) => m.strengthPercent),
            );
            close(
              volume[names[k]],
              slope((m) => m.volumeL),
            );
            close(
              pureAlcohol[names[k]],
              slope((m) => m.pureAlcoholL),
            );
          });
        });
      }),
      { numRuns: 60 },
    );
  });

  test('scaling every component leaves strength: Σ of volume times its sensitivity is nothing', () => {
    fc.assert(
      fc.property(components, (list) => {
        const { sensitivities, strengthPercent, volumeL } = mix(list);
        const ofStrength = sensitivities.reduce(
          (sum, { strength }, i) => sum + strength.perVolumeL * list[i].volumeL,
          0,
        );
        const ofVolume = sensitivities.reduce((sum, { volume }, i) => sum + volume.perVolumeL * list[i].volumeL, 0);
        expect(ofStrength).toBeCloseTo(0, 9);
        expect(ofVolume / volumeL).toBeCloseTo(1, 11);
        expect(strengthPercent).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test('partial volumes add up to the volume', () => {
    const liquid = liquidOfVolume(10, { strengthPercent: 17, extractPlato: 12 });
    const partial = partialVolumes(liquid);
    expect(
      partial.perMassKg * liquid.massKg +
        partial.perAlcoholKg * liquid.alcoholKg +
        partial.perExtractKg * liquid.extractKg,
    ).toBeCloseTo(10, 12);
    expect(liquidOfMasses(liquid).volumeL).toBeCloseTo(10, 12);
  });

  test('nothing at all', () => {
    expect(mix([{ volumeL: 0, strengthPercent: 5 }])).toMatchObject({
      volumeL: 0,
      strengthPercent: 0,
      volumeChangeL: 0,
    });
  });

  test.each<[string, MixComponent[], string]>([
    ['no component', [], 'too-few'],
    [
      'too many',
      Array.from({ length: MAXIMUM_MIX_COMPONENTS + 1 }, () => ({ volumeL: 1, strengthPercent: 5 })),
      'too-many',
    ],
    ['negative volume', [{ volumeL: -1, strengthPercent: 5 }], 'out-of-range'],
    ['NaN strength', [{ volumeL: 1, strengthPercent: NaN }], 'not-finite'],
    ['extract below −5 °P', [{ volumeL: 1, strengthPercent: 5, extractPlato: -6 }], 'out-of-range'],
    ['alcohol and extract above the whole', [{ volumeL: 1, strengthPercent: 95, extractPlato: 50 }], 'contradictory'],
    ['density against strength', [{ volumeL: 1, strengthPercent: 90, densityKgM3: 1250 }], 'contradictory'],
  ])('refused: %s', (_name, list, rule) => {
    expect(refusalOf(() => mix(list)).rule).toBe(rule);
  });
});

describe('dose', () => {
  const base = { strengthPercent: 5, extractPlato: 2 };
  const flavouring = { strengthPercent: 20, extractPlato: 40 };

  test('mL per bottle: the dose is its part of the finished volume', () => {
    const {
      base: drawn,
      flavouring: added,
      result,
    } = dose({
      base,
      flavouring,
      dose: { per: 'bottle', doseMl: 10, bottleMl: 330 },
      volumeL: 100,
    });
    expect(added.volumeL / result.volumeL).toBeCloseTo(10 / 330, 12);
    expect(result.pureAlcoholL).toBeCloseTo(drawn.pureAlcoholL + added.pureAlcoholL, 12);
    expect(result.massKg).toBeCloseTo(drawn.massKg + added.massKg, 10);
  });

  test('a dose per bottle is the same dose per litre of finished drink', () => {
    const perBottle = dose({ base, flavouring, dose: { per: 'bottle', doseMl: 15, bottleMl: 500 } });
    const perLitre = dose({ base, flavouring, dose: { per: 'litre-of-finished-drink', doseMl: 30 } });
    expect(perLitre.result.strengthPercent).toBeCloseTo(perBottle.result.strengthPercent, 12);
  });

  test('mL per litre of base goes on top', () => {
    const {
      flavouring: added,
      volumeChangeL,
      result,
    } = dose({ base, flavouring, dose: { per: 'litre-of-base', doseMl: 30 }, volumeL: 10 });
    expect(added.volumeL).toBeCloseTo(0.3, 12);
    expect(result.volumeL).toBeCloseTo(10.3 + volumeChangeL, 10);
  });

  test('a sugar syrup without alcohol lowers the strength and raises the extract; a spirit extract does the opposite', () => {
    const syrup = dose({
      base,
      flavouring: { strengthPercent: 0, extractPlato: 60 },
      dose: { per: 'litre-of-base', doseMl: 50 },
    });
    expect(syrup.strengthChangePercent).toBeLessThan(0);
    expect(syrup.extractChangePlato).toBeGreaterThan(0);
    expect(syrup.alcoholShareAdded).toBe(0);
    const extract = dose({ base, flavouring: { strengthPercent: 70 }, dose: { per: 'litre-of-base', doseMl: 10 } });
    expect(extract.strengthChangePercent).toBeGreaterThan(0.6);
    expect(extract.extractChangePlato).toBeLessThan(0);
    expect(extract.alcoholShareAdded).toBeCloseTo(0.007 / 0.057, 10);
  });

  test.each<[string, Partial<DoseInput>, string]>([
    ['a dose that fills the bottle', { dose: { per: 'bottle', doseMl: 330, bottleMl: 330 } }, 'contradictory'],
    ['a dose above the bottle', { dose: { per: 'bottle', doseMl: 331, bottleMl: 330 } }, 'out-of-range'],
    ['a negative dose', { dose: { per: 'litre-of-base', doseMl: -1 } }, 'out-of-range'],
    ['a thimble of a bottle', { dose: { per: 'bottle', doseMl: 1, bottleMl: 5 } }, 'out-of-range'],
    ['no volume', { volumeL: 0 }, 'out-of-range'],
    ['a dose that is no number', { dose: { per: 'litre-of-finished-drink', doseMl: NaN } }, 'not-finite'],
  ])('refused: %s', (_name, change, rule) => {
    const input: DoseInput = { base, flavouring, dose: { per: 'litre-of-base', doseMl: 10 }, ...change };
    expect(refusalOf(() => dose(input)).rule).toBe(rule);
  });
});

describe('solids', () => {
  test('a kilogram of sucrose takes 0.616 L in a drink; alcohol stays, strength falls', () => {
    const { result, start, volumeAddedL, strengthChangePercent } = addSolids({
      volumeL: 100,
      strengthPercent: 5,
      solid: 'sucrose',
      massKg: 5,
    });
    // Apparent specific volume of sucrose in water at 5 %, 20 °C, from the density tables: (1/1.01785 − 0.95/0.99820)/0.05 = 0.6158 mL/g.
    expect(volumeAddedL / 5).toBeCloseTo(0.616, 3);
    expect(result.pureAlcoholL).toBeCloseTo(5, 12);
    expect(result.massKg).toBeCloseTo(start.massKg + 5, 12);
    expect(result.extractKg).toBeCloseTo(5, 12);
    expect(strengthChangePercent).toBeCloseTo((100 * 5) / (100 + volumeAddedL) - 5, 10);
  });

  test('the monohydrate brings its water: 9.1 % of it is no extract', () => {
    const anhydrous = addSolids({ volumeL: 10, strengthPercent: 0, solid: 'dextrose-anhydrous', massKg: 1 });
    const monohydrate = addSolids({ volumeL: 10, strengthPercent: 0, solid: 'dextrose-monohydrate', massKg: 1 });
    expect(monohydrate.result.extractKg / anhydrous.result.extractKg).toBeCloseTo(0.90909, 4);
    expect(monohydrate.result.massKg).toBeCloseTo(anhydrous.result.massKg, 12);
  });

  test.each<[string, Partial<SolidsInput>, string]>([
    ['negative mass', { massKg: -1 }, 'out-of-range'],
    ['past 60 °P', { massKg: 100 }, 'out-of-range'],
    ['no volume', { volumeL: 0 }, 'out-of-range'],
    ['mass that is no number', { massKg: NaN }, 'not-finite'],
  ])('refused: %s', (_name, change, rule) => {
    const input: SolidsInput = { volumeL: 10, strengthPercent: 5, solid: 'sucrose', massKg: 1, ...change };
    expect(refusalOf(() => addSolids(input)).rule).toBe(rule);
  });
});
