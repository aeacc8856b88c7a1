import { checkRuleSet } from '../../src/excise/duty/rules/check-rule-set.js';
import type { DutyCategory, RuleSet } from '../../src/excise/duty/rules/rule-set.js';
import { BASIS_FACTS, percent } from '../../src/excise/duty/rules/rule-set.js';
import { STARTING_POINTS } from '../../src/excise/duty/starting-points/starting-points.js';
import { refusalOf } from '../support/refusal.js';
import { startingSet, withCategory } from './rules-support.js';

const UK = startingSet('uk-litre-of-alcohol');
const US = startingSet('us-barrels');
const DE = startingSet('de-plato');
const beer = (change: Partial<DutyCategory>, set: RuleSet = UK): RuleSet => withCategory(set, 'beer', change);
const band = (code: string, from: number, below?: number) => ({
  code,
  fromStrength: percent(from),
  belowStrength: below === undefined ? undefined : percent(below),
});
const step = (name: string, basis: string, more: object = {}) =>
  ({ name, basis, mode: 'cut', places: 1, ...more }) as NonNullable<DutyCategory['rounding']>[number];
const one = { bands: [band('all', 0)], relief: undefined };
const rate = (from: string, before?: string) => ({ band: 'all', from, before, amount: 10 });
const rates = (...all: ReturnType<typeof rate>[]) => beer({ ...one, rates: all });

test('every starting point stands, with a source and its edition', () => {
  for (const { key, rates: words, ruleSet } of STARTING_POINTS) {
    expect(checkRuleSet(ruleSet)).toBe(ruleSet);
    expect([key, (ruleSet.sources ?? []).length > 0]).toEqual([key, true]);
    ruleSet.sources?.forEach(({ citation, edition }) => expect(citation.length * edition.length).toBeGreaterThan(0));
    // Who has no rate says so.
    const hasRates = ruleSet.categories.some(({ rates: own = [] }) => own.length > 0);
    expect([key, /^The set has no rates/.test(words)]).toEqual([key, !hasRates]);
  }
  expect(STARTING_POINTS.map(({ key }) => key)).toHaveLength(new Set(STARTING_POINTS.map(({ key }) => key)).size);
});

test.each<[name: string, set: RuleSet, rule: string, pointer: string]>([
  // Bands.
  [
    'a gap between bands',
    beer({ rates: [], bands: [band('a', 0, 3.5), band('b', 3.6)] }),
    'band-gap',
    'categories/0/bands/1/fromStrength',
  ],
  [
    'bands that overlap',
    beer({ rates: [], bands: [band('a', 0, 3.5), band('b', 3.4)] }),
    'band-overlap',
    'categories/0/bands/1/fromStrength',
  ],
  [
    'the lowest strengths left out',
    beer({ rates: [], bands: [band('a', 0.5)] }),
    'band-gap',
    'categories/0/bands/0/fromStrength',
  ],
  [
    'the highest strengths left out',
    beer({ rates: [], bands: [band('a', 0, 22)] }),
    'band-gap',
    'categories/0/bands/0/belowStrength',
  ],
  [
    'a band after one without an end',
    beer({ rates: [], bands: [band('a', 0), band('b', 5)] }),
    'band-overlap',
    'categories/0/bands/1/fromStrength',
  ],
  [
    'a band upside down',
    beer({ rates: [], bands: [band('a', 0, 0)] }),
    'contradictory',
    'categories/0/bands/0/belowStrength',
  ],
  [
    'two bands of one code',
    beer({ rates: [], bands: [band('a', 0, 5), band('a', 5)] }),
    'twice',
    'categories/0/bands/1/code',
  ],
  // Rates.
  [
    'a gap between rates',
    rates(rate('2023-01-01', '2024-01-01'), rate('2024-01-02')),
    'rate-gap',
    'categories/0/rates/1/from',
  ],
  [
    'rates that overlap',
    rates(rate('2023-01-01', '2024-01-01'), rate('2023-12-31')),
    'rate-overlap',
    'categories/0/rates/1/from',
  ],
  [
    'a rate after one without an end',
    rates(rate('2023-01-01'), rate('2024-01-01')),
    'rate-overlap',
    'categories/0/rates/1/from',
  ],
  [
    'one day with two rates',
    rates(rate('2023-01-01', '2024-01-01'), rate('2023-01-01')),
    'rate-overlap',
    'categories/0/rates/1/from',
  ],
  [
    'rates out of order with a gap',
    rates(rate('2025-01-01'), rate('2023-01-01', '2024-01-01')),
    'rate-gap',
    'categories/0/rates/0/from',
  ],
  ['no rate on the first day of the set', rates(rate('2023-08-02')), 'rate-gap', 'categories/0/rates/0/from'],
  [
    'a rate that ended before the set begins',
    rates(rate('2022-01-01', '2023-08-01')),
    'rate-gap',
    'categories/0/rates/0/before',
  ],
  [
    'a rate that ends before it begins',
    rates(rate('2023-01-01', '2023-01-01')),
    'contradictory',
    'categories/0/rates/0/before',
  ],
  [
    'a band without a rate',
    beer({ rates: (UK.categories[0].rates ?? []).filter(({ band: of }) => of !== '8.5-22') }),
    'rate-gap',
    'categories/0/rates',
  ],
  [
    'a rate of no band',
    beer({ ...one, rates: [{ ...rate('2023-01-01'), band: 'x' }] }),
    'unknown-band',
    'categories/0/rates/0/band',
  ],
  [
    'a rate where no duty falls',
    beer({ rates: [{ ...rate('2023-01-01'), band: 'to-1.2' }] }),
    'contradictory',
    'categories/0/rates/0/band',
  ],
  ['rates without a currency', { ...rates(rate('2023-01-01')), currency: undefined }, 'required', 'currency'],
  // Units and what a basis takes.
  ['litres by the barrel', beer({ unit: 'L' }, US), 'unit-not-of-basis', 'categories/0/unit'],
  ['proof gallons by the litre', beer({ unit: 'proof-gallon' }), 'unit-not-of-basis', 'categories/0/unit'],
  [
    'barrels rounded by the litre',
    beer({ rounding: [step('a', 'barrels')] }),
    'step-not-of-basis',
    'categories/0/rounding/0/basis',
  ],
  [
    'degrees Plato rounded by the barrel',
    beer({ rounding: [step('a', 'plato')] }, US),
    'step-not-of-basis',
    'categories/0/rounding/0/basis',
  ],
  [
    'litres of alcohol rounded by the Plato',
    beer({ rounding: [step('a', 'litres-of-alcohol')] }, DE),
    'step-not-of-basis',
    'categories/0/rounding/0/basis',
  ],
  [
    'litres rounded where the unit is hectolitres',
    beer({ unit: 'hL', rounding: [step('a', 'litres-of-alcohol')] }),
    'step-not-of-basis',
    'categories/0/rounding/0/basis',
  ],
  [
    'a part of the strength free by the barrel',
    beer({ freeStrength: { value: 1, unit: '%' } }, US),
    'contradictory',
    'categories/0/freeStrength',
  ],
  // Steps that contradict.
  [
    'more places after fewer',
    beer({ rounding: [step('a', 'strength'), step('b', 'strength', { places: 2 })] }),
    'contradictory',
    'categories/0/rounding/1',
  ],
  [
    'strength after alcohol',
    beer({ rounding: [step('a', 'litres-of-alcohol'), step('b', 'strength')] }),
    'contradictory',
    'categories/0/rounding/1',
  ],
  [
    'lines after their sum',
    beer({ rounding: [step('a', 'money', { grouping: 'period' }), step('b', 'money', { places: 0 })] }),
    'contradictory',
    'categories/0/rounding/1',
  ],
  [
    'two steps of one name',
    beer({ rounding: [step('a', 'strength'), step('a', 'money')] }),
    'contradictory',
    'categories/0/rounding/1',
  ],
  [
    'a strength as a sum of a day',
    beer({ rounding: [step('a', 'strength', { grouping: 'day' })] }),
    'contradictory',
    'categories/0/rounding/0/grouping',
  ],
  [
    'a rate as a sum',
    beer({ rounding: [step('a', 'rate', { grouping: 'period' })] }),
    'contradictory',
    'categories/0/rounding/0/grouping',
  ],
  [
    'money of a line after the sum of a day',
    beer({ rounding: [step('a', 'barrels', { grouping: 'day' }), step('b', 'money')] }, US),
    'contradictory',
    'categories/0/rounding/1/grouping',
  ],
  // Categories, relief, strength.
  [
    'one category twice',
    { ...UK, categories: [UK.categories[0], { ...UK.categories[1], code: 'beer' }] },
    'twice',
    'categories/1/code',
  ],
  ['goods taken twice', withCategory(UK, 'other', { takes: ['cider', 'beer'] }), 'twice', 'categories/1/takes/1'],
  ['two categories of all the rest', beer({ takes: undefined }), 'twice', 'categories/1/takes'],
  [
    'a relief without a rate',
    withCategory(UK, 'other', { relief: { name: 'r', kind: 'per-unit', amount: 1, mode: 'up', places: 2 } }),
    'contradictory',
    'categories/1/relief',
  ],
  [
    'a relief of more than all',
    beer({ relief: { name: 'r', kind: 'percentage', amount: 101, mode: 'up', places: 2 } }),
    'out-of-range',
    'categories/0/relief/amount',
  ],
  [
    'a relief of no band',
    beer({ relief: { name: 'r', kind: 'percentage', amount: 10, mode: 'up', places: 2, bands: ['x'] } }),
    'unknown-band',
    'categories/0/relief/bands/0',
  ],
  [
    'a tolerance that no rule asks for',
    { ...UK, strengthForDuty: { rule: 'declared', tolerance: { value: 0.2, unit: '%' } } },
    'contradictory',
    'strengthForDuty/tolerance',
  ],
  [
    'a rule without its tolerance',
    { ...UK, strengthForDuty: { rule: 'declared-unless-measured-above' } },
    'contradictory',
    'strengthForDuty/tolerance',
  ],
])('refused: %s', (_, set, rule, pointer) => {
  const refusal = refusalOf(() => checkRuleSet(set));
  expect([refusal.rule, refusal.details.pointer]).toEqual([rule, pointer]);
});

test('rates in any order stand if their dates follow on each other; the last may end', () => {
  const set = rates(rate('2025-01-01', '2026-01-01'), rate('2023-01-01', '2025-01-01'));
  expect(checkRuleSet(set)).toBe(set);
});

test('each basis takes its own steps, and a rule of all of them stands', () => {
  for (const [basis, facts] of Object.entries(BASIS_FACTS)) {
    for (const unit of facts.units) {
      const content = facts.content[unit];
      const rounding = [
        ...facts.measures.filter((each) => each !== 'hectolitres'),
        ...(content === undefined ? [] : [content]),
        'money',
      ];
      const set = beer({
        rates: [],
        basis: basis as DutyCategory['basis'],
        unit,
        rounding: rounding.map((each) => step(each, each)),
      });
      expect(checkRuleSet(set)).toBe(set);
    }
  }
});
