import type { DutyCalculation } from '../../src/excise/duty/rules/duty.js';
import { dutyOf } from '../../src/excise/duty/rules/duty.js';
import { checkRuleSet } from '../../src/excise/duty/rules/check-rule-set.js';
import type { DutyLine } from '../../src/excise/duty/rules/line.js';
import type { DutyCategory, NamedRuleSet, RuleSet } from '../../src/excise/duty/rules/rule-set.js';
import { STARTING_POINTS } from '../../src/excise/duty/starting-points/starting-points.js';
import { Exact } from '../../src/metrology/decimals.js';

export function startingSet(key: string): RuleSet {
  const found = STARTING_POINTS.find((each) => each.key === key);
  if (found === undefined) throw new Error(`no starting point ${key}`);
  return found.ruleSet;
}

export const named = (document: RuleSet, version = '1'): NamedRuleSet => ({
  id: `set-${version}`,
  version,
  document: checkRuleSet(document),
});

/** A set with one category changed. */
export const withCategory = (set: RuleSet, code: string, change: Partial<DutyCategory>): RuleSet => ({
  ...set,
  categories: set.categories.map((each) => (each.code === code ? { ...each, ...change } : each)),
});

/** A set that begins on a day, with one rate from then on for each taxed band of a category. */
export const withRate = (set: RuleSet, code: string, from: string, amount: number, currency = 'GBP'): RuleSet => {
  const { bands = [] } = set.categories.find((each) => each.code === code) ?? {};
  const rates = bands.filter(({ untaxed }) => untaxed !== true).map((band) => ({ band: band.code, from, amount }));
  // The first day of the set follows that of the published figure; other categories are left without rates.
  const others = set.categories.map((each) => ({ ...each, rates: undefined }));
  return withCategory({ ...set, validFrom: from, currency, categories: others }, code, { rates });
};

export interface LineFacts extends Partial<
  Omit<DutyLine, 'litres' | 'declaredPercent' | 'measured' | 'originalPlato' | 'containerL'>
> {
  readonly litres: number | string;
  readonly declared?: number;
  readonly measured?: readonly [percent: number, expandedUncertainty: number];
  readonly plato?: number;
  readonly containerL?: number;
}

let made = 0;
export function line({ litres, declared = 5, measured, plato, containerL, ...more }: LineFacts): DutyLine {
  made += 1;
  return {
    id: `line-${made}`,
    category: 'beer',
    dutyDate: '2026-03-05',
    litres: new Exact(litres),
    declaredPercent: new Exact(declared),
    ...(measured === undefined
      ? {}
      : { measured: { percent: new Exact(measured[0]), expandedUncertainty: new Exact(measured[1]) } }),
    ...(plato === undefined ? {} : { originalPlato: new Exact(plato) }),
    ...(containerL === undefined ? {} : { containerL: new Exact(containerL) }),
    ...more,
  };
}

export const calculate = (set: RuleSet, ...lines: DutyLine[]): DutyCalculation => dutyOf([named(set)], lines);
