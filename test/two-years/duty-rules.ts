import type { NewDutyRuleSet } from '../../src/excise/duty/rule-sets/rule-sets.dto.js';

/** Invented money for a litre of pure alcohol, first year and second. */
export const RATES = {
  light: [9.2, 9.6],
  ordinary: [21, 21.8],
  strong: [28.5, 29.5],
} as const;

/** So much of the rate is taken off what goes out in kegs. */
export const KEG_RELIEF_PERCENT = 10;
const KEG_FROM_L = 20;

export type Band = keyof typeof RATES;

/** An invented set of rules with a change of rates after the first year; shaped like common ones, no country's. */
export const dutyRules = (first: string, changes: string): NewDutyRuleSet => ({
  name: 'Invented rules of the two years',
  validFrom: first,
  sources: [{ citation: 'Invented for the demonstration; no law has these rates', edition: 'two years' }],
  currency: 'XTS',
  cadence: 'month',
  strengthForDuty: { rule: 'declared' },
  categories: [
    {
      code: 'drinks',
      name: 'All drinks',
      basis: 'litre-of-alcohol',
      unit: 'L',
      bands: [
        {
          code: 'untaxed',
          name: 'below 1.3 % vol',
          fromStrength: { value: 0, unit: '%' },
          belowStrength: { value: 1.3, unit: '%' },
          untaxed: true,
        },
        {
          code: 'light',
          name: '1.3 to below 3.5 % vol',
          fromStrength: { value: 1.3, unit: '%' },
          belowStrength: { value: 3.5, unit: '%' },
        },
        {
          code: 'ordinary',
          name: '3.5 to below 8.5 % vol',
          fromStrength: { value: 3.5, unit: '%' },
          belowStrength: { value: 8.5, unit: '%' },
        },
        { code: 'strong', name: '8.5 % vol and above', fromStrength: { value: 8.5, unit: '%' } },
      ],
      rates: Object.entries(RATES).flatMap(([band, [before, after]]) => [
        { band, from: first, before: changes, amount: before },
        { band, from: changes, amount: after },
      ]),
      relief: {
        name: 'keg relief to the second place',
        kind: 'percentage',
        amount: KEG_RELIEF_PERCENT,
        minimumContainer: { value: KEG_FROM_L, unit: 'L' },
        mode: 'cut',
        places: 2,
      },
      rounding: [
        { name: 'strength cut to 0.1', basis: 'strength', mode: 'cut', places: 1 },
        { name: 'duty cut to the second place', basis: 'money', mode: 'cut', places: 2, grouping: 'period' },
      ],
    },
  ],
});
