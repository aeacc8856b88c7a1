import { percent } from '../rules/rule-set.js';
import type { NamedRuleSet } from '../rules/rule-set.js';
import type { StartingPoint } from './starting-point.js';
import { ALL_STRENGTHS, NO_RATES } from './starting-point.js';

export const PLAIN: StartingPoint = {
  key: 'plain-litre-of-alcohol',
  title: 'Litres of pure alcohol, nothing rounded',
  rates: NO_RATES,
  ruleSet: {
    name: 'Litres of pure alcohol by the declared strength, nothing rounded',
    validFrom: '1900-01-01',
    sources: [{ citation: 'Arithmetic: litres times strength; no law stands behind it.', edition: 'none' }],
    cadence: 'month',
    strengthForDuty: { rule: 'declared' },
    categories: [{ code: 'all', name: 'Everything', basis: 'litre-of-alcohol', unit: 'L', bands: ALL_STRENGTHS }],
  },
};

/** Rule set for a producer that has none of its own in force. */
export const DEFAULT_RULE_SET: NamedRuleSet = {
  id: 'declared-strength',
  version: '1',
  document: { ...PLAIN.ruleSet, validFrom: '0001-01-01' },
};

export const NEW_ZEALAND: StartingPoint = {
  key: 'nz-litre-of-alcohol',
  title: 'New Zealand: litres of alcohol',
  rates: NO_RATES,
  ruleSet: {
    name: 'New Zealand: litres of alcohol, plain',
    validFrom: '2013-01-01',
    sources: [
      {
        citation: 'NZ Customs, summary of the Volume of Alcohol Rules: litres times strength',
        url: 'https://www.customs.govt.nz/business/excise/alcohol-and-excise/volume-of-alcohol-rules-summary-for-excise-declarants',
        edition: 'undated',
        note: 'From 1.15 to 2.5 % vol, and in some bands above, the law charges by the litre of beverage; that is not in this set. The first day is a placeholder.',
      },
    ],
    cadence: 'month',
    strengthForDuty: { rule: 'declared' },
    categories: [
      {
        code: 'alcohol',
        name: 'By the litre of alcohol',
        basis: 'litre-of-alcohol',
        unit: 'L',
        bands: [
          {
            code: 'to-1.15',
            name: 'to 1.15 % vol',
            fromStrength: percent(0),
            belowStrength: percent(1.150001),
            untaxed: true,
          },
          { code: 'above-1.15', name: 'above 1.15 % vol', fromStrength: percent(1.150001) },
        ],
      },
    ],
  },
};
