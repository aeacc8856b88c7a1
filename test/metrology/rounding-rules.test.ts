import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { applyRounding, checkRule, type RoundingStep } from '../../src/metrology/rounding-rules.js';
import { refusalOf } from '../support/refusal.js';

function step(overrides: Partial<RoundingStep> = {}): RoundingStep {
  return { name: 'strength', basis: 'strength', mode: 'cut', places: 1, ...overrides };
}

function rounded(overrides: Partial<RoundingStep>, value: string): string {
  return applyRounding(step(overrides), new Decimal(value)).rounded.toFixed();
}

describe('published roundings (test/reference/excise/strength-rounding-rules.csv)', () => {
  test('UK, technical guide s.11: strength cut to one decimal, 7.59 to 7.5', () => {
    expect(rounded({}, '7.59')).toBe('7.5');
  });

  test('UK, Finance (No. 2) Act 2023 s.59: discount rounded up to the penny', () => {
    expect(rounded({ basis: 'rate', mode: 'up', places: 2 }, '3.4101')).toBe('3.42');
    expect(rounded({ basis: 'rate', mode: 'up', places: 2 }, '3.41')).toBe('3.41');
  });

  test('AU, calculating excise duty: the example amount is cut to the cent, 184.928 to 184.92', () => {
    expect(rounded({ basis: 'money', mode: 'cut', places: 2 }, '184.928')).toBe('184.92');
  });

  test('DE, beer tax table: 11 x 0.787 = 8.657 is cut to 8.65; degrees Plato to whole ones', () => {
    expect(rounded({ basis: 'rate', mode: 'cut', places: 2 }, new Decimal('0.787').times(11).toFixed())).toBe('8.65');
    expect(rounded({ basis: 'plato', places: 0 }, '11.99')).toBe('11');
  });

  test('US, 27 CFR 25.156(c): a removal to 5 decimals of a barrel, the sum of a day to 2', () => {
    const rule = checkRule([
      { name: 'removal', basis: 'barrels', mode: 'half-up', places: 5 },
      { name: 'day', basis: 'barrels', mode: 'half-up', places: 2, grouping: 'day' },
      { name: 'tax', basis: 'money', mode: 'half-up', places: 2 },
    ]);
    // Ten half barrels and 24 cases of 24 bottles of 12 fluid ounces: 288 fl oz a case, 3,968 fl oz a barrel.
    const kegs = applyRounding(rule[0], new Decimal('0.5').times(10)).rounded;
    const cases = applyRounding(rule[0], new Decimal(288).dividedBy(3968).times(24)).rounded;
    expect(cases.toFixed()).toBe('1.74194');
    expect(applyRounding(rule[1], kegs.plus(cases)).rounded.toFixed()).toBe('6.74');
  });
});

test('the four modes, on either side of zero and at the half', () => {
  const all = (value: string): string[] =>
    (['cut', 'up', 'half-even', 'half-up'] as const).map((mode) => rounded({ mode, places: 1 }, value));
  expect(all('0.25')).toEqual(['0.2', '0.3', '0.2', '0.3']);
  expect(all('0.35')).toEqual(['0.3', '0.4', '0.4', '0.4']);
  expect(all('-0.25')).toEqual(['-0.2', '-0.3', '-0.2', '-0.3']);
  expect(all('0.3')).toEqual(['0.3', '0.3', '0.3', '0.3']);
});

test('the raw value stands beside the rounded one; a reversal rounds to the exact opposite; twice is once', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: -1e9, max: 1e9 }),
      fc.constantFrom<RoundingStep['mode']>('cut', 'up', 'half-even', 'half-up'),
      fc.integer({ min: 0, max: 9 }),
      (units, mode, places) => {
        const value = new Decimal(units).dividedBy(1e6);
        const result = applyRounding(step({ mode, places }), value);
        expect(result.raw.equals(value)).toBe(true);
        expect(result.rounded.minus(value).abs().lessThan(new Decimal(10).pow(-places))).toBe(true);
        expect(applyRounding(step({ mode, places }), value.negated()).rounded.plus(result.rounded).isZero()).toBe(true);
        expect(applyRounding(step({ mode, places }), result.rounded).rounded.equals(result.rounded)).toBe(true);
      },
    ),
  );
});

test('a whole rule that stands: strength, litres of alcohol by line, money by period', () => {
  const rule: RoundingStep[] = [
    step(),
    step({ name: 'litres of alcohol', basis: 'litres-of-alcohol', places: 2 }),
    step({ name: 'litres of alcohol of the period', basis: 'litres-of-alcohol', places: 1, grouping: 'period' }),
    step({ name: 'duty', basis: 'money', places: 2, grouping: 'period' }),
  ];
  expect(checkRule(rule)).toBe(rule);
});

describe('refusals', () => {
  const bad = (overrides: Record<string, unknown>): RoundingStep => ({ ...step(), ...overrides });
  test.each<[string, RoundingStep[], string, string]>([
    ['no steps', [], 'too-few', 'steps'],
    ['too many steps', new Array<RoundingStep>(21).fill(step()), 'too-many', 'steps'],
    ['unknown basis', [bad({ basis: 'colour' })], 'unknown-basis', 'steps/0/basis'],
    ['basis that every object has', [bad({ basis: 'toString' })], 'unknown-basis', 'steps/0/basis'],
    ['unknown mode', [bad({ mode: 'down' })], 'unknown-mode', 'steps/0/mode'],
    ['unknown grouping', [bad({ grouping: 'year' })], 'unknown-grouping', 'steps/0/grouping'],
    ['places below zero', [bad({ places: -1 })], 'too-few', 'steps/0/places'],
    ['places above nine', [bad({ places: 10 })], 'too-many', 'steps/0/places'],
    ['places not whole', [bad({ places: 1.5 })], 'not-whole', 'steps/0/places'],
    ['no name', [bad({ name: ' ' })], 'contradictory', 'steps/0/name'],
    ['one name twice', [step(), step({ places: 0 })], 'contradictory', 'steps/1'],
    ['more places after fewer', [step(), step({ name: 'again', places: 2 })], 'contradictory', 'steps/1'],
    ['as many places again', [step(), step({ name: 'again' })], 'contradictory', 'steps/1'],
    [
      'sum with more places than its lines',
      [step(), step({ name: 'sum', grouping: 'period', places: 3 })],
      'contradictory',
      'steps/1',
    ],
    [
      'lines after their sum',
      [step({ grouping: 'period' }), step({ name: 'lines', places: 0 })],
      'contradictory',
      'steps/1',
    ],
    ['strength after alcohol', [step({ name: 'a', basis: 'litres-of-alcohol' }), step()], 'contradictory', 'steps/1'],
    [
      'alcohol after money',
      [step({ name: 'a', basis: 'money' }), step({ basis: 'litres-of-alcohol' })],
      'contradictory',
      'steps/1',
    ],
  ])('%s', (_, steps, rule, pointer) => {
    const refusal = refusalOf(() => checkRule(steps));
    expect([refusal.rule, refusal.details.pointer]).toEqual([rule, pointer]);
  });

  test('a value that is no number', () => {
    expect(refusalOf(() => applyRounding(step(), new Decimal(NaN))).rule).toBe('not-finite');
  });
});

test('a basis may be rounded twice in one grouping, to fewer places; a finer grouping after a coarser one is refused, naming that', () => {
  const twice = [step({ name: 'first', places: 3 }), step({ name: 'then', places: 1 })];
  expect(checkRule(twice)).toBe(twice);
  const refusal = refusalOf(() =>
    checkRule([step({ name: 'first', places: 3, grouping: 'day' }), step({ name: 'then', places: 1 })]),
  );
  expect(refusal.rule).toBe('contradictory');
  expect(refusal.message).toContain('by day');
});
