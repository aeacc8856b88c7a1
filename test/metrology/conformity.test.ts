import fc from 'fast-check';
import { assessConformity, type ConformityInput } from '../../src/metrology/conformity.js';
import { refusalOf } from '../support/refusal.js';

function input(overrides: Partial<ConformityInput> = {}): ConformityInput {
  return { measured: 5, standardUncertainty: 0.1, declared: 5, tolerance: 0.5, ...overrides };
}

test('JCGM 106, breakdown voltage with one limit: 92 %', () => {
  // JCGM 106:2012 7.4 example 1 (from memory): -5.47 V, u = 0.05 V, upper limit -5.40 V.
  const { probability } = assessConformity({
    measured: -5.47,
    standardUncertainty: 0.05,
    declared: -5.4,
    tolerance: { above: 0 },
  });
  expect(probability).toBeCloseTo(0.92, 2);
});

test('JCGM 106, one lower limit with the guard band of 2u: the risk at its edge is 2.3 %', () => {
  // JCGM 106:2012 8.3.2: with a guard band of U = 2u the probability of conforming at the acceptance limit is 97.7 % or more (from memory).
  const risk = 1 - 0.97725;
  const { acceptance } = assessConformity(input({ tolerance: { below: 0.5 }, allowedRisk: risk }));
  expect(acceptance?.lower).toBeCloseTo(4.5 + 2 * 0.1, 4);
});

test('one limit: the guard band is the one-sided quantile times u', () => {
  const { acceptance, toleranceInterval } = assessConformity(input({ tolerance: { below: 0.5 } }));
  expect(toleranceInterval).toEqual({ lower: 4.5, upper: null });
  expect(acceptance?.lower).toBeCloseTo(4.5 + 1.644853627 * 0.1, 8);
  expect(acceptance?.upper).toBeNull();
  const students = assessConformity(input({ tolerance: { above: 0.5 }, degreesOfFreedom: 4 }));
  expect(students.acceptance?.upper).toBeCloseTo(5.5 - 2.131846786 * 0.1, 8);
  expect(students.acceptance?.lower).toBeNull();
});

test('the three decisions, and no middle where nothing is uncertain', () => {
  expect(assessConformity(input()).decision).toBe('conforms');
  expect(assessConformity(input({ measured: 5.5 })).decision).toBe('cannot-tell');
  expect(assessConformity(input({ measured: 5.5 })).probability).toBeCloseTo(0.5, 12);
  expect(assessConformity(input({ measured: 5.8 })).decision).toBe('does-not-conform');
  const exact = input({ standardUncertainty: 0 });
  expect(assessConformity(exact)).toMatchObject({ probability: 1, acceptance: { lower: 4.5, upper: 5.5 } });
  expect(assessConformity({ ...exact, measured: 5.51 })).toMatchObject({
    probability: 0,
    decision: 'does-not-conform',
  });
});

test('where u is too large, nothing can be accepted', () => {
  const result = assessConformity(input({ standardUncertainty: 0.4 }));
  expect(result.acceptance).toBeNull();
  expect(result.decision).toBe('cannot-tell');
});

test('simple acceptance at a risk of one half', () => {
  const { acceptance } = assessConformity(input({ tolerance: { below: 0.5 }, allowedRisk: 0.5 }));
  expect(acceptance?.lower).toBeCloseTo(4.5, 9);
});

test('the acceptance interval and the decision agree', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 4, max: 6, noNaN: true }),
      fc.double({ min: 0.001, max: 0.3, noNaN: true }),
      fc.double({ min: 0.001, max: 0.4, noNaN: true }),
      fc.constantFrom(Infinity, 3, 12),
      fc.constantFrom<ConformityInput['tolerance']>(0.5, { below: 0.3, above: 0.1 }, { below: 0.2 }, { above: 0.2 }),
      (measured, standardUncertainty, allowedRisk, degreesOfFreedom, tolerance) => {
        const { acceptance, decision } = assessConformity(
          input({ measured, standardUncertainty, allowedRisk, degreesOfFreedom, tolerance }),
        );
        if (acceptance === null) {
          expect(decision).not.toBe('conforms');
          return;
        }
        const lower = acceptance.lower ?? -Infinity;
        const upper = acceptance.upper ?? Infinity;
        fc.pre(Math.abs(measured - lower) > 1e-7 && Math.abs(measured - upper) > 1e-7);
        expect(decision === 'conforms').toBe(measured > lower && measured < upper);
      },
    ),
  );
});

test.each<[string, Partial<ConformityInput>, string, string]>([
  ['negative u', { standardUncertainty: -1 }, 'negative-uncertainty', 'standardUncertainty'],
  ['u not finite', { standardUncertainty: Infinity }, 'not-finite', 'standardUncertainty'],
  ['measured not a number', { measured: NaN }, 'not-finite', 'measured'],
  ['declared not a number', { declared: NaN }, 'not-finite', 'declared'],
  ['negative tolerance', { tolerance: -0.1 }, 'out-of-range', 'tolerance'],
  ['no limit at all', { tolerance: {} }, 'contradictory', 'tolerance'],
  ['risk of zero', { allowedRisk: 0 }, 'out-of-range', 'allowedRisk'],
  ['risk above one half', { allowedRisk: 0.6 }, 'out-of-range', 'allowedRisk'],
  ['degrees of freedom below one', { degreesOfFreedom: 0 }, 'out-of-range', 'degreesOfFreedom'],
])('refusal: %s', (_, overrides, rule, pointer) => {
  const refusal = refusalOf(() => assessConformity(input(overrides)));
  expect([refusal.rule, refusal.details.pointer]).toEqual([rule, pointer]);
});
