import fc from 'fast-check';
import { covarianceOf } from '../support/covariance.js';
import {
  combineComponents,
  componentsByOrigin,
  propagate,
  type InputQuantity,
} from '../../src/metrology/uncertainty.js';
import { readReferenceJson } from '../support/reference-files.js';
import { refusalOf } from '../support/refusal.js';

const u = fc.double({ min: 0.001, max: 100, noNaN: true });
const c = fc.double({ min: -100, max: 100, noNaN: true });
const line = fc.record({
  value: c,
  standardUncertainty: u,
  origin: fc.constantFrom('a', 'b', 'c', 'd'),
  sensitivity: c,
});
const lines = fc.array(line, { minLength: 1, maxLength: 12 });

function inputsOf(rows: { value: number; standardUncertainty: number; origin: string }[]): InputQuantity[] {
  return rows.map(({ value, standardUncertainty, origin }, i) => ({
    name: `x${i}`,
    value,
    standardUncertainty,
    origin,
  }));
}

function plain(overrides: Partial<InputQuantity> = {}): InputQuantity {
  return { name: 'x', value: 1, standardUncertainty: 0.1, origin: 'x', ...overrides };
}

test('shares add to one', () => {
  fc.assert(
    fc.property(lines, (rows) => {
      const result = propagate(
        0,
        inputsOf(rows),
        rows.map(({ sensitivity }) => sensitivity),
      );
      const shares = result.budget.map(({ share }) => share);
      const size = Math.max(1, ...shares.map(Math.abs));
      const sum = shares.reduce((total, share) => total + share, 0);
      expect(Math.abs(sum - (result.standard === 0 ? 0 : 1))).toBeLessThan(1e-10 * size * size);
    }),
  );
});

test('shares add to one with stated correlations', () => {
  fc.assert(
    fc.property(fc.double({ min: -1, max: 1, noNaN: true }), u, u, (r, u1, u2) => {
      const inputs = [plain({ standardUncertainty: u1 }), plain({ standardUncertainty: u2, origin: 'y' })];
      const result = propagate(0, inputs, [1, 1], {
        correlation: [
          [1, r],
          [r, 1],
        ],
      });
      const expected = Math.sqrt(Math.max(0, u1 * u1 + u2 * u2 + 2 * r * u1 * u2));
      expect(Math.abs(result.standard - expected)).toBeLessThan(1e-6 * (u1 + u2));
      if (result.standard > 1e-3) expect(result.budget[0].share + result.budget[1].share).toBeCloseTo(1, 6);
    }),
  );
});

test('x − x has no uncertainty, x + x twice that of x', () => {
  fc.assert(
    fc.property(c, u, c, (value, standardUncertainty, sensitivity) => {
      fc.pre(Math.abs(sensitivity) > 1e-6);
      const inputs = [plain({ value, standardUncertainty }), plain({ value, standardUncertainty })];
      expect(propagate(0, inputs, [sensitivity, -sensitivity]).standard).toBe(0);
      expect(propagate(0, inputs, [sensitivity, sensitivity]).standard).toBe(
        2 * Math.abs(sensitivity) * standardUncertainty,
      );
    }),
  );
});

test('a sum that is zero but for rounding is zero, and then no share is invented', () => {
  const inputs = [
    plain({ standardUncertainty: 0.1 }),
    plain({ standardUncertainty: 0.2 }),
    plain({ standardUncertainty: 0.3 }),
  ];
  const result = propagate(0, inputs, [1, 1, -1]);
  expect(0.1 + 0.2 - 0.3).not.toBe(0);
  expect(result).toMatchObject({ standard: 0, expanded: 0, degreesOfFreedom: null });
  expect(result.budget.map(({ share }) => share)).toEqual([0, 0, 0]);
});

test('independent origins add in quadrature', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(u, u), { minLength: 1, maxLength: 20 }), (rows) => {
      const inputs = rows.map(([standardUncertainty], i) => plain({ standardUncertainty, origin: `o${i}` }));
      const expected = Math.hypot(...rows.map(([ui, ci]) => ui * ci));
      expect(
        Math.abs(
          propagate(
            0,
            inputs,
            rows.map(([, ci]) => ci),
          ).standard - expected,
        ),
      ).toBeLessThanOrEqual(1e-12 * expected);
    }),
  );
});

test('origins and a matrix of ones and zeros say the same', () => {
  fc.assert(
    fc.property(lines, (rows) => {
      const inputs = inputsOf(rows);
      const sensitivities = rows.map(({ sensitivity }) => sensitivity);
      const correlation = inputs.map((a) => inputs.map((b) => (a.origin === b.origin ? 1 : 0)));
      const byOrigin = propagate(0, inputs, sensitivities);
      const byMatrix = propagate(0, inputs, sensitivities, { correlation });
      const size = byOrigin.budget.reduce((sum, { contribution }) => sum + Math.abs(contribution), 0);
      expect(Math.abs(byMatrix.standard - byOrigin.standard)).toBeLessThanOrEqual(1e-12 * size);
    }),
  );
});

test('components by origin give the same uncertainty, and a total adds one origin linearly', () => {
  fc.assert(
    fc.property(lines, (rows) => {
      const result = propagate(
        0,
        inputsOf(rows),
        rows.map(({ sensitivity }) => sensitivity),
      );
      const components = componentsByOrigin(result.budget);
      expect(Math.abs(combineComponents(components).standard - result.standard)).toBeLessThan(1e-9);
      const negated = new Map([...components].map(([origin, component]) => [origin, -component]));
      expect(combineComponents(components, negated).standard).toBe(0);
    }),
  );
  const calibration = new Map([
    ['hydrometer', 0.3],
    ['reading 1', 0.4],
  ]);
  const other = new Map([
    ['hydrometer', 0.3],
    ['reading 2', -0.4],
  ]);
  const total = combineComponents(calibration, other);
  expect(total.components.get('hydrometer')).toBe(0.6);
  expect(total.standard).toBeCloseTo(Math.hypot(0.6, 0.4, 0.4), 15);
});

test('Welch–Satterthwaite, the worked example', () => {
  const { welch_satterthwaite_simple: example } = readReferenceJson<{
    welch_satterthwaite_simple: { u: number[]; nu: [number, string]; nu_eff: number };
  }>('physics/gum-worked-examples.json');
  const inputs = example.u.map((standardUncertainty, i) =>
    plain({ standardUncertainty, origin: `o${i}`, degreesOfFreedom: i === 0 ? Number(example.nu[0]) : Infinity }),
  );
  // Source: the worked example named in the reference file.
  expect(propagate(0, inputs, [1, 1]).degreesOfFreedom?.toFixed(1)).toBe(String(example.nu_eff));
});

test('effective degrees of freedom lie between the smallest and the sum', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(u, fc.integer({ min: 1, max: 200 })), { minLength: 1, maxLength: 8 }), (rows) => {
      const inputs = rows.map(([standardUncertainty, degreesOfFreedom], i) =>
        plain({ standardUncertainty, degreesOfFreedom, origin: `o${i}` }),
      );
      const nu =
        propagate(
          0,
          inputs,
          rows.map(() => 1),
        ).degreesOfFreedom ?? NaN;
      expect(nu).toBeGreaterThanOrEqual(Math.min(...rows.map(([, n]) => n)) * (1 - 1e-9));
      expect(nu).toBeLessThanOrEqual(rows.reduce((sum, [, n]) => sum + n, 0) * (1 + 1e-9));
    }),
  );
});

test('one origin counts once in the degrees of freedom, with the smallest of its members', () => {
  const inputs = [plain({ degreesOfFreedom: 9 }), plain({ degreesOfFreedom: 4 })];
  expect(propagate(0, inputs, [1, 1]).degreesOfFreedom).toBeCloseTo(4, 12);
});

test('coverage: 1.96 without a limit of degrees of freedom, t otherwise, another probability on request', () => {
  expect(propagate(1, [plain()], [1])).toMatchObject({ value: 1, standard: 0.1, degreesOfFreedom: null });
  expect(propagate(1, [plain()], [1]).coverageFactor).toBeCloseTo(1.96, 4);
  expect(propagate(1, [plain({ degreesOfFreedom: 4 })], [1]).coverageFactor).toBeCloseTo(2.776, 3);
  expect(propagate(1, [plain()], [1], { coverageProbability: 0.99 }).expanded).toBeCloseTo(0.2576, 4);
});

test('a budget line keeps what it was given', () => {
  const [first, second] = propagate(
    3,
    [plain({ unit: 'Cel', distribution: 'triangular' }), plain({ origin: 'y', degreesOfFreedom: 7 })],
    [2, -1],
  ).budget;
  expect(first).toEqual({
    name: 'x',
    value: 1,
    standardUncertainty: 0.1,
    distribution: 'triangular',
    degreesOfFreedom: null,
    sensitivity: 2,
    contribution: 0.2,
    share: expect.closeTo(0.8, 12),
    origin: 'x',
    unit: 'Cel',
  });
  expect(second).toMatchObject({ distribution: 'normal', degreesOfFreedom: 7, contribution: -0.1 });
});

test('covariances of several results: origins shared and not', () => {
  const inputs = [plain({ standardUncertainty: 3 }), plain({ standardUncertainty: 4, origin: 'y' })];
  const { covariance, correlation } = covarianceOf(inputs, [
    [1, 0],
    [1, 1],
    [0, 0],
  ]);
  expect(covariance).toEqual([
    [9, 9, 0],
    [9, 25, 0],
    [0, 0, 0],
  ]);
  expect(correlation[0][1]).toBeCloseTo(0.6, 15);
  expect(correlation[2][2]).toBe(0);
  expect(covarianceOf([plain(), plain()], [[1, -1]]).covariance[0][0]).toBe(0);
  expect(refusalOf(() => covarianceOf(inputs, [])).rule).toBe('empty-budget');
  expect(refusalOf(() => covarianceOf(inputs, [[1]])).rule).toBe('contradictory');
});

describe('refusals', () => {
  const two = [plain(), plain({ name: 'y', origin: 'y' })];
  const with2 = (correlation: number[][]) => refusalOf(() => propagate(0, two, [1, 1], { correlation })).rule;

  test.each([
    ['empty budget', () => propagate(0, [], []), 'empty-budget', 'inputs'],
    ['lengths differ', () => propagate(0, two, [1]), 'contradictory', 'sensitivities'],
    ['negative u', () => propagate(0, [plain({ standardUncertainty: -0.1 })], [1]), 'negative-uncertainty', 'x'],
    ['u not a number', () => propagate(0, [plain({ standardUncertainty: NaN })], [1]), 'not-finite', 'x'],
    ['u infinite', () => propagate(0, [plain({ standardUncertainty: Infinity })], [1]), 'not-finite', 'x'],
    ['value infinite', () => propagate(0, [plain({ value: -Infinity })], [1]), 'not-finite', 'x'],
    ['result not a number', () => propagate(NaN, [plain()], [1]), 'not-finite', 'value'],
    ['sensitivity not a number', () => propagate(0, [plain()], [NaN]), 'not-finite', 'x'],
    ['degrees of freedom below one', () => propagate(0, [plain({ degreesOfFreedom: 0.5 })], [1]), 'out-of-range', 'x'],
    ['degrees of freedom not a number', () => propagate(0, [plain({ degreesOfFreedom: NaN })], [1]), 'not-finite', 'x'],
    ['too many', () => propagate(0, new Array<InputQuantity>(1001).fill(plain()), []), 'too-many', 'inputs'],
    ['overflow', () => propagate(0, [plain({ standardUncertainty: 1e200 })], [1e200]), 'not-finite', 'x'],
    [
      'coverage of one',
      () => propagate(0, [plain()], [1], { coverageProbability: 1 }),
      'out-of-range',
      'coverageProbability',
    ],
  ])('%s', (_, run, rule, pointer) => {
    const refusal = refusalOf(run);
    expect(refusal.rule).toBe(rule);
    expect(refusal.details.pointer).toBe(pointer);
  });

  test('correlation matrices that cannot be', () => {
    expect(
      with2([
        [1, 0.5],
        [0.4, 1],
      ]),
    ).toBe('contradictory');
    expect(
      with2([
        [1, 0],
        [0, 0.9],
      ]),
    ).toBe('contradictory');
    expect(with2([[1]])).toBe('contradictory');
    expect(
      with2([
        [1, 2],
        [2, 1],
      ]),
    ).toBe('out-of-range');
    expect(
      with2([
        [1, NaN],
        [NaN, 1],
      ]),
    ).toBe('not-finite');
    const three = [...two, plain({ name: 'z', origin: 'z' })];
    const correlation = [
      [1, 0.9, -0.9],
      [0.9, 1, 0.9],
      [-0.9, 0.9, 1],
    ];
    expect(refusalOf(() => propagate(0, three, [1, 1, 1], { correlation })).rule).toBe('not-positive-semi-definite');
    expect(
      refusalOf(() =>
        propagate(0, [plain(), plain()], [1, 1], {
          correlation: [
            [1, 0.5],
            [0.5, 1],
          ],
        }),
      ).rule,
    ).toBe('contradictory');
  });

  test('a singular matrix is semi-definite and is taken', () => {
    const correlation = [
      [1, -1],
      [-1, 1],
    ];
    expect(propagate(0, two, [1, 1], { correlation }).standard).toBe(0);
  });

  test('components across a stated correlation cannot be summed by origin', () => {
    const { budget } = propagate(0, two, [1, 1], {
      correlation: [
        [1, 0.5],
        [0.5, 1],
      ],
    });
    expect(refusalOf(() => componentsByOrigin(budget)).rule).toBe('correlated-lines');
    expect(refusalOf(() => combineComponents(new Map([['a', NaN]]))).rule).toBe('not-finite');
  });
});
