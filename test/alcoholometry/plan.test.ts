import { ethanolYieldGPerG } from '../../src/alcoholometry/carbonation/conditioning-sugar.js';
import { ethanolWaterDensityKgM3 } from '../../src/alcoholometry/liquids/ethanol-water.js';
import { sucroseSolutionDensityKgM3 } from '../../src/alcoholometry/liquids/sugar-solution.js';
import fc from 'fast-check';
import { toExtract } from '../../src/alcoholometry/liquids/gravity-scales.js';
import { originalGravityShortfall, planForStrength } from '../../src/alcoholometry/plans/plan-backwards.js';
import type { Expectation } from '../../src/alcoholometry/plans/plan-ferment.js';
import { plan, washDensityKgM3, type Fermentable, type PlanInput } from '../../src/alcoholometry/plans/plan.js';
import { originalExtract } from '../../src/alcoholometry/strength/composition.js';
import { readReferenceCsv, readReferenceJson } from '../support/reference-files.js';
import { refusalOf } from '../support/refusal.js';

const sg = (value: number): Expectation => ({ finalGravity: { value, scale: 'sg-20-20' } });
const dextrose = (massKg: number): Fermentable[] => [{ kind: 'dextrose-anhydrous', massKg }];

describe('plan', () => {
  test('1.5 to 2 kg of dextrose in 19 L: about 5 % (common practice, no source)', () => {
    const dry = [1.5, 1.75, 2].map(
      (kg) => plan({ fermentables: dextrose(kg), volumeL: 19, expectation: sg(0.996) }).strengthPercent,
    );
    // Worked by bisection on the kilograms of ethanol m: 2.0665 m of dextrose are used up, 1.0665 m leave as CO2 and yeast, and the drink of
    // 0.996 weighs what its alcohol and its rest make up; dextrose counts 0.985 on the sucrose scale (CRC rows at 10 %).
    const byHand = (kg: number): number => {
      const fraction = (1000 * kg) / 19 / washDensityKgM3(kg / 19.5, 1);
      const washKg = (19 * washDensityKgM3(fraction, 1)) / 1000;
      const wanted = 0.996 * (998.203 - 1.2) + 1.2;
      let [low, high] = [0, kg / 2.0665];
      let strength = 0;
      for (let i = 0; i < 60; i += 1) {
        const m = (low + high) / 2;
        const drinkKg = washKg - 1.0665 * m;
        const rest = (0.985 * (kg - 2.0665 * m)) / drinkKg;
        const density = ethanolWaterDensityKgM3(m / drinkKg, 20) + sucroseSolutionDensityKgM3(rest, 20) - 998.203;
        strength = (100 * 1000 * m) / 789.24 / ((1000 * drinkKg) / density);
        if (density > wanted) low = m;
        else high = m;
      }
      return strength;
    };
    [1.5, 1.75, 2].forEach((kg, index) => expect(dry[index] / byHand(kg)).toBeCloseTo(1, 3));
    // Whole: 1.5 kg / 2.0665 = 0.7259 kg of ethanol, 0.9197 L. 19 L of wash weigh 19.534 kg (CRC row of 8 %), of which 0.774 kg leave; what is left
    // has 0.99124 kg/L (R 22 at 4.86 % vol): 18.93 L.
    const whole = plan({ fermentables: dextrose(1.5), volumeL: 19, expectation: { realAttenuationPercent: 100 } });
    expect(whole.strengthPercent).toBeCloseTo(4.86, 2);
  });

  test('Balling’s equation gives the extract back: of malt on the sucrose scale, of dextrose by its own mass', () => {
    const malt = plan({
      fermentables: [{ kind: 'malt', massKg: 40, extractYield: 0.5 }],
      volumeL: 190,
      expectation: { apparentAttenuationPercent: 90 },
    });
    expect(originalExtract(malt.alcoholMassPercent, malt.realExtractPlato)).toBeCloseTo(malt.original.plato, 9);
    const { original, alcoholMassPercent, realExtractPlato, extractKg, washMassKg } = plan({
      fermentables: dextrose(20),
      volumeL: 190,
      expectation: { apparentAttenuationPercent: 90 },
    });
    const massPercent = (100 * extractKg) / washMassKg;
    // What the scale reads of the rest is 0.985 of its mass (CRC rows at 10 %).
    expect(originalExtract(alcoholMassPercent, realExtractPlato / 0.985) / massPercent).toBeCloseTo(1, 3);
    expect(massPercent).toBeCloseTo(10.14, 2);
    expect(massPercent - original.plato).toBeCloseTo(0.15, 1);
  });

  test('sucrose and malt extract read as what they weigh; sucrose takes up water and gives 4 to 5 % more', () => {
    const sucrose = plan({ fermentables: [{ kind: 'sucrose', massKg: 2 }], volumeL: 19, expectation: sg(1) });
    const malt = plan({
      fermentables: [{ kind: 'malt', massKg: 4, extractYield: 0.5 }],
      volumeL: 19,
      expectation: sg(1),
    });
    expect(sucrose.original.plato).toBeCloseTo((100 * 2) / sucrose.washMassKg, 3);
    expect(malt.original.plato).toBeCloseTo(sucrose.original.plato, 12);
    // Of malt 2.0665 g give a gram of alcohol, of sucrose 2.0665 × 342.297 / 360.312 = 1.9632 g. A gram of alcohol lowers the density by what 0.45 g
    // of extract add (slopes of R 22 and SPS-4 near 5 %), and 10 °P of wort shrink by 0.11 g: (2.0665 + 0.34) / (1.9632 + 0.34) = 1.045.
    expect(sucrose.strengthPercent / malt.strengthPercent).toBeCloseTo(1.045, 3);
  });

  test('the monohydrate needs a tenth more and brings its water', () => {
    const anhydrous = plan({ fermentables: dextrose(1.8), volumeL: 19, expectation: sg(1) });
    const monohydrate = plan({
      fermentables: [{ kind: 'dextrose-monohydrate', massKg: (1.8 * 198.171) / 180.156 }],
      volumeL: 19,
      expectation: sg(1),
    });
    expect(monohydrate.strengthPercent).toBeCloseTo(anhydrous.strengthPercent, 12);
    expect(anhydrous.waterKg - monohydrate.waterKg).toBeCloseTo(0.18, 3);
  });

  test('dextrose solutions of the CRC rows: gravity from mass, to 0.054 kg/m3', () => {
    const rows = readReferenceCsv('physics/sugar-solution-density.csv')
      .filter(({ solute, source }) => solute === 'glucose' && source.startsWith('CRC'))
      .map(({ mass_pct, published }) => [Number(mass_pct) / 100, 1000 * Number(published)]);
    expect(rows).toHaveLength(27);
    for (const [fraction, density] of rows) {
      expect(Math.abs(washDensityKgM3(fraction, 1) - density)).toBeLessThanOrEqual(0.054);
    }
  });

  test('yield: 0.946 of the theory of either sugar, which is what conditioning states as its upper bound', () => {
    const { theoretical_L_pure_alcohol_per_kg: theory, practical } = readReferenceJson<{
      theoretical_L_pure_alcohol_per_kg: { glucose: number; sucrose: number };
      practical: { balling_fraction_of_glucose_theory: number; balling_fraction_of_sucrose_theory: number };
    }>('physics/constants.json');
    const whole: Expectation = { realAttenuationPercent: 100 };
    const sucrose = plan({ fermentables: [{ kind: 'sucrose', massKg: 1 }], volumeL: 10, expectation: whole });
    const glucose = plan({ fermentables: dextrose(1), volumeL: 10, expectation: whole });
    const share = practical.balling_fraction_of_glucose_theory;
    expect(sucrose.pureAlcoholL / (theory.sucrose * share)).toBeCloseTo(1, 3);
    expect(glucose.pureAlcoholL / (theory.glucose * share)).toBeCloseTo(1, 3);
    // Without growth of yeast: 0.5383 and 0.5114 g of ethanol a gram.
    const apart = ethanolYieldGPerG('sucrose') / ethanolYieldGPerG('dextrose-anhydrous');
    expect(apart).toBeCloseTo(0.5383 / 0.5114, 3);
    expect(sucrose.pureAlcoholL / glucose.pureAlcoholL / apart).toBeCloseTo(1, 3);
  });

  test('the published means of the data sets in the file: alcohol from original and apparent extract within 0.08 % mass', () => {
    const { means } = readReferenceJson<{ datasets_published: { means: Record<string, number[]> } }>(
      'physics/fermentation-extract.json',
    ).datasets_published;
    for (const [plato, alcohol, , apparent] of Object.values(means)) {
      const kg = 1;
      const fraction = plato / 100;
      const litres = (1000 * kg) / fraction / washDensityKgM3(fraction, 0);
      const { alcoholMassPercent, original } = plan({
        fermentables: [{ kind: 'malt', massKg: kg, extractYield: 1 }],
        volumeL: litres,
        expectation: { finalGravity: { value: apparent, scale: 'plato' } },
      });
      expect(original.plato).toBeCloseTo(plato, 6);
      expect(Math.abs(alcoholMassPercent - alcohol)).toBeLessThanOrEqual(0.08);
    }
  });

  test('nothing ferments: nothing changes, to the last litre', () => {
    for (const kind of ['dextrose-anhydrous', 'sucrose'] as const) {
      const { fermentationVolumeChangeL, pureAlcoholL, final, original, co2Kg } = plan({
        fermentables: [{ kind, massKg: 2 }],
        volumeL: 19,
        expectation: { realAttenuationPercent: 0 },
      });
      expect(fermentationVolumeChangeL).toBeCloseTo(0, 9);
      expect(pureAlcoholL).toBe(0);
      expect(co2Kg).toBe(0);
      expect(final.plato).toBeCloseTo(original.plato, 9);
    }
  });

  test('mass: wash is drink, CO2 and yeast', () => {
    const { washMassKg, liquid, co2Kg, yeastDryMatterKg } = plan({
      fermentables: dextrose(25),
      volumeL: 200,
      expectation: sg(0.998),
    });
    expect(liquid.massKg + co2Kg + yeastDryMatterKg).toBeCloseTo(washMassKg, 9);
  });

  test('strength rises with sugar and falls with final gravity', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 6, noNaN: true }),
        fc.double({ min: 1, max: 1.008, noNaN: true }),
        (kg, gravity) => {
          const strength = (mass: number, final: number): number =>
            plan({ fermentables: dextrose(mass), volumeL: 19, expectation: sg(final) }).strengthPercent;
          expect(strength(kg + 0.5, gravity)).toBeGreaterThan(strength(kg + 0.4, gravity));
          expect(strength(kg + 0.5, gravity)).toBeGreaterThan(strength(kg + 0.5, gravity + 0.0005));
        },
      ),
    );
  });

  const good: PlanInput = { fermentables: dextrose(2), volumeL: 19, expectation: sg(1) };
  test.each<[string, Partial<PlanInput>, string]>([
    ['no fermentable', { fermentables: [] }, 'too-few'],
    ['too many', { fermentables: Array.from({ length: 21 }, () => dextrose(1)[0]) }, 'too-many'],
    ['negative mass', { fermentables: dextrose(-1) }, 'out-of-range'],
    ['malt without yield', { fermentables: [{ kind: 'malt', massKg: 1 }] }, 'contradictory'],
    ['sugar with a yield', { fermentables: [{ kind: 'sucrose', massKg: 1, extractYield: 0.9 }] }, 'contradictory'],
    [
      'malt that yields more than it weighs',
      { fermentables: [{ kind: 'malt', massKg: 1, extractYield: 1.1 }] },
      'out-of-range',
    ],
    ['a kind that is none', { fermentables: [{ kind: 'toString' as 'malt', massKg: 1 }] }, 'unknown-fermentable'],
    ['no volume', { volumeL: 0 }, 'out-of-range'],
    ['more sugar than goes in', { fermentables: dextrose(20) }, 'out-of-range'],
    ['no expectation', { expectation: {} }, 'contradictory'],
    ['two expectations', { expectation: { ...sg(1), realAttenuationPercent: 80 } }, 'contradictory'],
    ['final above original', { expectation: sg(1.05) }, 'no-solution'],
    ['drier than dry', { expectation: sg(0.985) }, 'no-solution'],
    ['final gravity below the scale', { expectation: sg(0.98) }, 'out-of-range'],
    ['attenuation above 140 %', { expectation: { apparentAttenuationPercent: 141 } }, 'out-of-range'],
    ['NaN attenuation', { expectation: { realAttenuationPercent: NaN } }, 'not-finite'],
    ['final gravity with a lost point', { expectation: sg(1010) }, 'suspicious-gravity'],
  ])('refused: %s', (_name, change, rule) => {
    expect(refusalOf(() => plan({ ...good, ...change })).rule).toBe(rule);
  });
});

describe('backwards', () => {
  test('the plan for a strength is the plan that has it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 14, noNaN: true }),
        fc.double({ min: 1, max: 5000, noNaN: true }),
        fc.integer({ min: 0, max: 3 }),
        (strengthPercent, finalVolumeL, which) => {
          const fermentables: Fermentable[] = [
            [{ kind: 'dextrose-anhydrous' as const, massKg: 1 }],
            [{ kind: 'dextrose-monohydrate' as const, massKg: 2 }],
            [{ kind: 'sucrose' as const, massKg: 5 }],
            [
              { kind: 'malt' as const, massKg: 3, extractYield: 0.75 },
              { kind: 'dextrose-anhydrous' as const, massKg: 1 },
            ],
          ][which];
          const expectation: Expectation = { realAttenuationPercent: 95 };
          const wanted = planForStrength({ fermentables, strengthPercent, finalVolumeL, expectation });
          const again = plan({ fermentables: wanted.fermentables, volumeL: wanted.washVolumeL, expectation });
          expect(again.strengthPercent / strengthPercent).toBeCloseTo(1, 9);
          expect(again.finalVolumeL / finalVolumeL).toBeCloseTo(1, 9);
          expect(wanted.fermentables[0].massKg / fermentables[0].massKg).toBeGreaterThan(0);
        },
      ),
      { numRuns: 60 },
    );
  });

  test('19 L of 5 % from dextrose to 0.996: 1.74 kg', () => {
    const { fermentables, washVolumeL } = planForStrength({
      fermentables: dextrose(1),
      strengthPercent: 5,
      finalVolumeL: 19,
      expectation: sg(0.996),
    });
    expect(fermentables[0].massKg).toBeCloseTo(1.73, 1);
    expect(washVolumeL).toBeGreaterThan(19);
  });

  test('refused', () => {
    const good = { fermentables: dextrose(1), strengthPercent: 5, finalVolumeL: 19, expectation: sg(1) };
    const tooStrong = refusalOf(() => planForStrength({ ...good, strengthPercent: 60 }));
    expect(tooStrong.rule).toBe('no-solution');
    expect(tooStrong.details.highestStrengthPercent).toBeGreaterThan(30);
    expect(refusalOf(() => planForStrength({ ...good, fermentables: dextrose(0) })).rule).toBe('contradictory');
    expect(refusalOf(() => planForStrength({ ...good, finalVolumeL: 0 })).rule).toBe('out-of-range');
    expect(refusalOf(() => planForStrength({ ...good, strengthPercent: 0 })).rule).toBe('out-of-range');
    expect(refusalOf(() => planForStrength({ ...good, strengthPercent: 1, expectation: sg(0.985) })).rule).toBe(
      'no-solution',
    );
  });
});

describe('an original gravity off the plan', () => {
  const good = {
    planned: { value: 1.05, scale: 'sg-20-20' as const },
    measured: { value: 1.045, scale: 'sg-20-20' as const },
    volumeL: 100,
    expectation: { apparentAttenuationPercent: 80 },
  };

  test.each(['sucrose', 'dextrose-anhydrous', 'dextrose-monohydrate'] as const)(
    'a shortfall is corrected with %s',
    (sugar) => {
      const { sugarKg, strengthChangePercent, volumeAfterL, measuredPlato, plannedPlato } = originalGravityShortfall({
        ...good,
        sugar,
      });
      expect(strengthChangePercent).toBeLessThan(-0.4);
      const solidsKg = (measuredPlato / 100) * (washDensityKgM3(measuredPlato / 100, 0) / 10);
      const dryKg = sugar === 'dextrose-monohydrate' ? (sugarKg * 180.156) / 198.171 : sugarKg;
      const totalKg = washDensityKgM3(measuredPlato / 100, 0) / 10 + sugarKg;
      const share = sugar === 'sucrose' ? 0 : dryKg / (solidsKg + dryKg);
      const corrected = washDensityKgM3((solidsKg + dryKg) / totalKg, share);
      expect(corrected).toBeCloseTo(toExtract(good.planned).densityKgM3At20, 8);
      expect(volumeAfterL).toBeCloseTo((1000 * totalKg) / corrected, 8);
      expect(plannedPlato).toBeGreaterThan(measuredPlato);
    },
  );

  test('a surplus is thinned with water', () => {
    const { sugarKg, waterKg, volumeAfterL, strengthChangePercent } = originalGravityShortfall({
      ...good,
      planned: good.measured,
      measured: good.planned,
    });
    expect(sugarKg).toBe(0);
    expect(strengthChangePercent).toBeGreaterThan(0.4);
    expect(volumeAfterL).toBeGreaterThan(100 + waterKg * 0.99);
  });

  test('on plan: nothing to do', () => {
    expect(originalGravityShortfall({ ...good, measured: good.planned })).toMatchObject({
      sugarKg: 0,
      waterKg: 0,
      volumeAfterL: 100,
      strengthChangePercent: 0,
    });
  });

  test('refused', () => {
    expect(refusalOf(() => originalGravityShortfall({ ...good, volumeL: 0 })).rule).toBe('out-of-range');
    expect(refusalOf(() => originalGravityShortfall({ ...good, expectation: {} })).rule).toBe('contradictory');
    expect(
      refusalOf(() =>
        originalGravityShortfall({
          ...good,
          planned: { value: 59.9, scale: 'plato' },
          expectation: { realAttenuationPercent: 30 },
        }),
      ).rule,
    ).toBe('no-solution');
    expect(
      refusalOf(() =>
        originalGravityShortfall({
          ...good,
          planned: { value: 0, scale: 'plato' },
          expectation: { realAttenuationPercent: 30 },
        }),
      ).rule,
    ).toBe('no-solution');
  });
});
