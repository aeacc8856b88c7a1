import fc from 'fast-check';
import { blend, blendWith, type Blend, type BlendInput } from '../../src/alcoholometry/mixing/blend.js';
import { mix } from '../../src/alcoholometry/mixing/mix.js';
import { dilute } from '../../src/alcoholometry/mixing/dilution.js';
import { loadLinearSolver, type LinearSolve } from '../../src/alcoholometry/mixing/solver.js';
import type { MetrologyError } from '../../src/metrology/problem.js';
import { refusalOf } from '../support/refusal.js';

let solve: LinearSolve;
beforeAll(async () => {
  solve = await loadLinearSolver();
});

const spirit = { name: 'spirit', strengthPercent: 40, availableL: 10 };
const lager = { name: 'lager', strengthPercent: 8, extractPlato: 3, availableL: 60 };
const water = { name: 'water', strengthPercent: 0, availableL: 1000 };
const syrup = { name: 'syrup', strengthPercent: 0, extractPlato: 50, availableL: 20, minimumL: 2 };

/** Values as a person writes them, 0 to `max` in thousandths. */
function thousandths(max: number): fc.Arbitrary<number> {
  return fc.integer({ min: 0, max: max * 1000 }).map((value) => value / 1000);
}

function drawn(answer: Blend): Record<string, number> {
  return Object.fromEntries(answer.draw.map(({ name, volumeL }) => [name, volumeL]));
}

describe('blend', () => {
  test('two components: the draw is the one that dilution finds', async () => {
    const { volumeL, waterVolumeL, volumeChangeL } = dilute({
      strengthPercent: 96,
      targetStrengthPercent: 5,
      finalVolumeL: 100,
    });
    const answer = await blend({
      components: [{ name: 'neutral', strengthPercent: 96, availableL: 50 }, water],
      target: { volumeL: 100, strengthPercent: 5 },
    });
    expect(drawn(answer).neutral).toBeCloseTo(volumeL, 7);
    expect(drawn(answer).water).toBeCloseTo(waterVolumeL, 7);
    expect(answer.volumeChangeL).toBeCloseTo(volumeChangeL, 7);
  });

  test('what is nearest the target goes first, the strongest is spared', () => {
    const answer = blendWith(
      { components: [spirit, lager, water, syrup], target: { volumeL: 100, strengthPercent: 6 } },
      solve,
    );
    expect(drawn(answer).lager).toBeCloseTo(60, 7);
    expect(drawn(answer).spirit).toBeCloseTo(3, 7);
    expect(drawn(answer).syrup).toBeCloseTo(2, 7);
    expect(answer.draw[0].remainingL).toBeCloseTo(7, 7);
    expect(answer.objective).toContain('strongest spared');
  });

  test('costs decide where they are given', () => {
    const target = { volumeL: 50, strengthPercent: 4 };
    const priced = (spiritCost: number): Blend =>
      blendWith(
        {
          components: [
            { ...spirit, costPerL: spiritCost },
            { ...lager, costPerL: 1 },
            { ...water, costPerL: 0.01 },
          ],
          target,
        },
        solve,
      );
    expect(drawn(priced(1)).spirit).toBeCloseTo(5, 6);
    expect(drawn(priced(100)).spirit).toBeCloseTo(0, 6);
    expect(priced(1).objective).toBe('least cost');
  });

  test('ten components, everything there is, and one that is already right', () => {
    const ten = Array.from({ length: 10 }, (_, i) => ({
      name: `lot ${i}`,
      strengthPercent: 3 + i,
      extractPlato: i,
      availableL: 10,
    }));
    const all = mix(ten.map(({ strengthPercent, extractPlato }) => ({ strengthPercent, extractPlato, volumeL: 10 })));
    const whole = blendWith(
      { components: ten, target: { volumeL: all.volumeL, strengthPercent: all.strengthPercent } },
      solve,
    );
    for (const { volumeL } of whole.draw) expect(volumeL).toBeCloseTo(10, 5);
    const one = blendWith({ components: ten, target: { volumeL: 10, strengthPercent: 12 } }, solve);
    expect(drawn(one)['lot 9']).toBeCloseTo(10, 6);
  });

  test('a possible target is reached to 1e-6; mass and alcohol are conserved, bounds kept, with and without extract', () => {
    const lot = fc.record({
      strengthPercent: thousandths(90),
      extractPlato: thousandths(20),
      availableL: thousandths(5000),
      minimumPart: thousandths(0.5),
      usedPart: thousandths(1),
    });
    fc.assert(
      fc.property(fc.array(lot, { minLength: 2, maxLength: 10 }), fc.boolean(), (lots, withExtract) => {
        const components = lots.map(({ strengthPercent, extractPlato, availableL, minimumPart, usedPart }, i) => ({
          name: `lot ${i}`,
          strengthPercent,
          availableL,
          minimumL: minimumPart * usedPart * availableL,
          // Liqueurs at most: nothing is known of the density of strong spirit with sugar.
          ...(withExtract ? { strengthPercent: strengthPercent / 2, extractPlato } : {}),
        }));
        const known = mix(
          components.map(({ strengthPercent, availableL, extractPlato }, i) => ({
            strengthPercent,
            extractPlato,
            volumeL: availableL * lots[i].usedPart,
          })),
        );
        // Lots of one strength have their own test below: mixing itself moves the strength there.
        const strengths = components.map(({ strengthPercent }) => strengthPercent);
        fc.pre(known.volumeL > 0.1 && Math.max(...strengths) - Math.min(...strengths) > 0.1);
        const target = { volumeL: known.volumeL, strengthPercent: known.strengthPercent };
        const answer = blendWith({ components, target }, solve);
        expect(Math.abs(answer.result.volumeL / target.volumeL - 1)).toBeLessThanOrEqual(1e-6);
        expect(Math.abs(answer.strengthPercent - target.strengthPercent)).toBeLessThanOrEqual(
          1e-6 * target.strengthPercent + 1e-9,
        );
        const massKg = answer.draw.reduce((sum, draw) => sum + draw.massKg, 0);
        const pureAlcoholL = answer.draw.reduce((sum, draw) => sum + draw.pureAlcoholL, 0);
        expect(answer.result.massKg / massKg).toBeCloseTo(1, 12);
        expect(Math.abs(answer.result.pureAlcoholL - pureAlcoholL)).toBeLessThanOrEqual(1e-11 * (1 + pureAlcoholL));
        answer.draw.forEach(({ volumeL, remainingL }, i) => {
          const { minimumL, availableL } = components[i];
          expect(volumeL).toBeLessThanOrEqual(availableL);
          expect(volumeL).toBeGreaterThanOrEqual(minimumL * (1 - 1e-9) - 1e-12);
          expect(volumeL + remainingL).toBeCloseTo(availableL, 6);
        });
        const again = mix(
          answer.draw.map(({ volumeL }, i) => ({
            strengthPercent: components[i].strengthPercent,
            extractPlato: components[i].extractPlato,
            volumeL,
          })),
        );
        expect(Math.abs(again.volumeL / target.volumeL - 1)).toBeLessThanOrEqual(1e-6);
      }),
      { numRuns: 300, endOnFailure: true },
    );
  });

  test('two lots of one strength and different extract: the target, to within a word', () => {
    const components = [
      { name: 'dry', strengthPercent: 5, extractPlato: 2, availableL: 60 },
      { name: 'sweet', strengthPercent: 5, extractPlato: 6, availableL: 60 },
    ];
    const answer = blendWith({ components, target: { volumeL: 100, strengthPercent: 5 } }, solve);
    expect(answer.result.volumeL).toBeCloseTo(100, 6);
    expect(Math.abs(answer.strengthPercent - 5)).toBeLessThanOrEqual(0.005);
    expect(answer.warnings.join(' ')).toContain('practically one strength');
  });

  test('no other draw of three lots is cheaper: against a grid', () => {
    const lots = [
      { name: 'a', strengthPercent: 40, availableL: 20, costPerL: 5 },
      { name: 'b', strengthPercent: 12, availableL: 40, costPerL: 1.2, extractPlato: 4 },
      { name: 'c', strengthPercent: 0, availableL: 100, costPerL: 0.1 },
    ];
    const target = { volumeL: 60, strengthPercent: 8 };
    const cost = (answer: Blend): number =>
      answer.draw.reduce((sum, { volumeL }, i) => sum + volumeL * lots[i].costPerL, 0);
    const best = cost(blendWith({ components: lots, target }, solve));
    for (let fixed = 0; fixed <= 12; fixed += 1) {
      const forced = lots.map((lot) => (lot.name === 'a' ? { ...lot, minimumL: fixed, availableL: fixed } : lot));
      try {
        expect(cost(blendWith({ components: forced, target }, solve))).toBeGreaterThanOrEqual(best - 1e-6);
      } catch (error) {
        if ((error as MetrologyError).rule !== 'no-solution') throw error;
      }
    }
  });
});

describe('what cannot be had, and the nearest', () => {
  function refused(input: BlendInput): MetrologyError {
    return refusalOf(() => blendWith(input, solve));
  }

  test.each<[string, BlendInput, string, string]>([
    [
      'too much volume',
      { components: [spirit, water], target: { volumeL: 1100, strengthPercent: 0.1 } },
      'volume-above-available',
      'All components together make',
    ],
    [
      'less than the minimums',
      { components: [spirit, syrup], target: { volumeL: 1, strengthPercent: 5 } },
      'volume-below-minimums',
      'The minimums together already make 2 L',
    ],
    [
      'stronger than anything',
      { components: [spirit, water], target: { volumeL: 5, strengthPercent: 45 } },
      'strength-above-strongest',
      'the strongest, spirit, has 40 % vol',
    ],
    [
      'weaker than anything',
      { components: [spirit, lager], target: { volumeL: 30, strengthPercent: 5 } },
      'strength-below-weakest',
      'the weakest, lager, has 8 % vol',
    ],
    [
      'not enough of the strong one',
      { components: [spirit, water], target: { volumeL: 100, strengthPercent: 9 } },
      'strength-out-of-reach',
      'all of spirit is drawn',
    ],
    [
      'a minimum in the way',
      { components: [spirit, { ...lager, minimumL: 20 }], target: { volumeL: 25, strengthPercent: 30 } },
      'strength-out-of-reach',
      'the minimum of lager has to be drawn',
    ],
  ])('%s', (_name, input, reason, words) => {
    const error = refused(input);
    expect(error.rule).toBe('no-solution');
    expect(error.details.reason).toBe(reason);
    expect(error.message).toContain(words);
  });

  test('the nearest strength and the nearest volume are possible, and nothing beyond them', () => {
    const components = [spirit, lager, water];
    const { details } = refused({ components, target: { volumeL: 100, strengthPercent: 9 } });
    const strength = Number(details.nearestStrengthPercent);
    const volume = Number(details.nearestVolumeL);
    expect(strength).toBeCloseTo(8.8, 6);
    expect(volume).toBeCloseTo(880 / 9, 6);
    expect(
      blendWith({ components, target: { volumeL: 100, strengthPercent: strength } }, solve).strengthPercent,
    ).toBeCloseTo(8.8, 6);
    expect(
      blendWith({ components, target: { volumeL: volume, strengthPercent: 9 } }, solve).result.volumeL,
    ).toBeCloseTo(volume, 4);
    expect(refused({ components, target: { volumeL: 100, strengthPercent: strength + 1e-4 } }).rule).toBe(
      'no-solution',
    );
    expect(refused({ components, target: { volumeL: volume + 1e-3, strengthPercent: 9 } }).rule).toBe('no-solution');
  });

  test('there may be no nearest', () => {
    const { details } = refused({ components: [spirit, lager], target: { volumeL: 500, strengthPercent: 50 } });
    expect(details).toMatchObject({ nearestStrengthPercent: null, nearestVolumeL: null });
  });

  const good: BlendInput = { components: [spirit, water], target: { volumeL: 10, strengthPercent: 5 } };
  test.each<[string, BlendInput, string]>([
    ['one component', { ...good, components: [spirit] }, 'too-few'],
    [
      'eleven',
      { ...good, components: Array.from({ length: 11 }, (_, i) => ({ ...water, name: `w${i}` })) },
      'too-many',
    ],
    ['two of one name', { ...good, components: [spirit, { ...water, name: ' spirit' }] }, 'duplicate'],
    ['no name', { ...good, components: [spirit, { ...water, name: ' ' }] }, 'empty-name'],
    ['minimum above available', { ...good, components: [{ ...spirit, minimumL: 11 }, water] }, 'contradictory'],
    ['negative minimum', { ...good, components: [{ ...spirit, minimumL: -1 }, water] }, 'out-of-range'],
    ['negative available', { ...good, components: [{ ...spirit, availableL: -1 }, water] }, 'out-of-range'],
    ['infinite available', { ...good, components: [{ ...spirit, availableL: Infinity }, water] }, 'not-finite'],
    ['a cost for one only', { ...good, components: [{ ...spirit, costPerL: 1 }, water] }, 'contradictory'],
    [
      'negative cost',
      {
        ...good,
        components: [
          { ...spirit, costPerL: -1 },
          { ...water, costPerL: 0 },
        ],
      },
      'out-of-range',
    ],
    ['strength above 100', { ...good, target: { volumeL: 10, strengthPercent: 101 } }, 'out-of-range'],
    ['no volume', { ...good, target: { volumeL: 0, strengthPercent: 5 } }, 'out-of-range'],
    ['NaN volume', { ...good, target: { volumeL: NaN, strengthPercent: 5 } }, 'not-finite'],
    [
      'strength of a component not finite',
      { ...good, components: [{ ...spirit, strengthPercent: NaN }, water] },
      'not-finite',
    ],
    ['density against strength', { ...good, components: [{ ...spirit, densityKgM3: 790 }, water] }, 'contradictory'],
  ])('refused: %s', (_name, input, rule) => {
    expect(refused(input).rule).toBe(rule);
  });

  test('a minimum above what is available points at it, with the range', () => {
    const { details } = refused({ ...good, components: [water, { ...spirit, minimumL: 11 }] });
    expect(details).toMatchObject({ pointer: 'components.1.minimum', range: [0, 10] });
  });
});
