import { DEFAULT_SHARES, learnBias, type BiasEvidence, type BiasPrior } from '../../src/metrology/learned-bias.js';
import { assessConformity } from '../../src/metrology/conformity.js';
import { NormalDice } from '../support/normal-dice.js';
import { refusalOf } from '../support/refusal.js';

const PRIOR: BiasPrior = { mean: 0, standard: 0.03, shares: DEFAULT_SHARES };
const TARGET = { kind: 'sucrose', recipe: 'seltzer' };
const evidence = (deviation: number, u: number, i: number, of = TARGET): BiasEvidence => ({
  ...of,
  deviation,
  noise: new Map([[`certificate ${i}`, u]]),
});

test('without a certificate the answer is the stated prior', () => {
  expect(learnBias([], TARGET, PRIOR)).toMatchObject({ mean: 0, standard: 0.03, certificates: 0 });
});

test('with the lot variance known, one certificate is the posterior of two normal laws', () => {
  // By hand: lasting variance 0.8 × 0.03², noise 0.01² + lot 0.2 × 0.03²; the shares of a prior this narrow in its lot part hardly move.
  const shares = { producer: 0.5, kind: 0.3, recipe: 0.2 - 1e-9, lot: 1e-9 };
  const { mean, standard } = learnBias([evidence(0.02, 0.01, 1)], TARGET, { ...PRIOR, shares });
  const weight = 0.0009 / (0.0009 + 0.0001);
  expect(mean).toBeCloseTo(0.02 * weight, 6);
  expect(standard).toBeCloseTo(0.03 * Math.sqrt(1 - weight), 6);
});

test('another recipe learns less than the same, another kind less again, and never nothing', () => {
  const known = [1, 2, 3, 4, 5].map((i) => evidence(0.02, 0.003, i));
  const same = learnBias(known, TARGET, PRIOR);
  const recipe = learnBias(known, { kind: 'sucrose', recipe: 'other' }, PRIOR);
  const kind = learnBias(known, { kind: 'malt', recipe: 'ale' }, PRIOR);
  expect(same.standard).toBeLessThan(recipe.standard);
  expect(recipe.standard).toBeLessThan(kind.standard);
  expect(kind.standard).toBeLessThan(0.03);
  expect(same.mean).toBeGreaterThan(recipe.mean);
  expect(recipe.mean).toBeGreaterThan(kind.mean);
  expect(recipe).toMatchObject({ certificates: 5, certificatesOfRecipe: 0 });
});

test('certificates of one laboratory that share its error teach less than independent ones', () => {
  const shared = [1, 2, 3, 4, 5].map((i) => ({
    ...TARGET,
    deviation: 0.02,
    noise: new Map([
      ['laboratory', 0.01],
      [`certificate ${i}`, 0.001],
    ]),
  }));
  const independent = [1, 2, 3, 4, 5].map((i) => evidence(0.02, Math.hypot(0.01, 0.001), i));
  expect(learnBias(shared, TARGET, PRIOR).standard).toBeGreaterThan(learnBias(independent, TARGET, PRIOR).standard);
});

test('after five good certificates the label of a 5 % seltzer is decided, which the prior could not', () => {
  // Tolerance 0.3 % vol; reading noise 0.03 % vol; certificates of u 0.04 % vol, so 0.01 of the strength with the readings.
  const strength = 5.05;
  const decide = (relative: number): string =>
    assessConformity({
      measured: strength,
      standardUncertainty: Math.hypot(0.03, relative * strength),
      declared: 5,
      tolerance: 0.3,
    }).decision;
  expect(decide(learnBias([], TARGET, PRIOR).standard)).toBe('cannot-tell');
  const five = [0.012, 0.02, 0.016, 0.009, 0.018].map((deviation, i) => evidence(deviation, 0.01, i));
  expect(decide(learnBias(five, TARGET, PRIOR).standard)).toBe('conforms');
});

test.each([0, 1, 2, 3, 5, 10, 20])(
  '200 producers with biases of the prior, %d certificates: 95 % intervals cover 93 to 97 %',
  (count) => {
    const dice = new NormalDice(31_000 + count);
    const { shares, standard } = PRIOR;
    const draw = (share: number): number => dice.normal(0, standard * Math.sqrt(share));
    let covered = 0;
    const trials = 200 * 10;
    for (let i = 0; i < trials; i += 1) {
      const lasting = draw(shares.producer) + draw(shares.kind) + draw(shares.recipe);
      const lots = Array.from({ length: count }, (_, j) =>
        evidence(lasting + draw(shares.lot) + dice.normal(0, 0.008), 0.008, j),
      );
      const learned = learnBias(lots, TARGET, PRIOR);
      if (Math.abs(lasting + draw(shares.lot) - learned.mean) <= 1.96 * learned.standard) covered += 1;
    }
    expect(covered / trials).toBeGreaterThan(0.93);
    expect(covered / trials).toBeLessThan(0.97);
  },
);

test('what cannot be used is refused', () => {
  expect(refusalOf(() => learnBias([evidence(NaN, 0.01, 1)], TARGET, PRIOR)).rule).toBe('not-finite');
  expect(refusalOf(() => learnBias([], TARGET, { ...PRIOR, standard: 0 })).rule).toBe('out-of-range');
  const many = Array.from({ length: 201 }, (_, i) => evidence(0, 0.01, i));
  expect(refusalOf(() => learnBias(many, TARGET, PRIOR)).rule).toBe('too-many');
});
