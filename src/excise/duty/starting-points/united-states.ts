import { percent } from '../rules/rule-set.js';
import type { StartingPoint } from './starting-point.js';
import { ALL_STRENGTHS, NO_RATES } from './starting-point.js';

export const US_BREWER: StartingPoint = {
  key: 'us-barrels',
  title: "United States: a brewer's month in barrels of 31 gallons",
  rates: NO_RATES,
  ruleSet: {
    name: 'United States: barrels, 5 decimals a removal, day sums to 2',
    validFrom: '1993-01-01',
    sources: [
      {
        citation: '27 CFR 25.11, 26 USC 5051: barrel of 31 US gallons; beer from 0.5 % vol',
        edition: '2015 annual edition',
      },
      {
        citation:
          '27 CFR 25.156(c), 25.157: each removal to 5 decimals of a barrel, the sum of a day to 2, tax on the rounded sum',
        edition: '2024',
        note: 'How a half is rounded is not in the text at hand; half up is taken: the tables of 25.156 and 25.158 come out so. The first day is a placeholder.',
      },
      {
        citation:
          '27 CFR 25.163: in paying the tax, less than half a cent is disregarded, half a cent or more is a cent',
        url: 'https://www.ecfr.gov/current/title-27/section-25.163',
        edition: '2021',
      },
    ],
    currency: 'USD',
    cadence: 'month',
    strengthForDuty: { rule: 'declared' },
    // 27 CFR 25.159: returned beer is set off against the removals of the same day.
    returns: 'offset-day',
    categories: [
      {
        code: 'beer',
        name: 'Beer',
        basis: 'barrel-31-us-gallons',
        unit: 'barrel',
        bands: [
          {
            code: 'cereal-beverage',
            name: 'below 0.5 % vol: no beer',
            fromStrength: percent(0),
            belowStrength: percent(0.5),
            untaxed: true,
          },
          { code: 'beer', name: 'from 0.5 % vol', fromStrength: percent(0.5) },
        ],
        rounding: [
          { name: 'removal to 5 decimals', basis: 'barrels', mode: 'half-up', places: 5 },
          { name: 'day sum to 2 decimals', basis: 'barrels', mode: 'half-up', places: 2, grouping: 'day' },
          { name: 'tax to the cent', basis: 'money', mode: 'half-up', places: 2, grouping: 'period' },
        ],
      },
    ],
  },
};

export const US_SPIRITS: StartingPoint = {
  key: 'us-proof-gallons',
  title: 'United States: proof gallons at 60 °F',
  rates: NO_RATES,
  ruleSet: {
    name: 'United States: proof gallons at 60 °F, proof to 0.1',
    validFrom: '1993-01-01',
    sources: [
      { citation: '27 CFR 30.11: proof is twice the per cent by volume at 60 °F; a proof gallon', edition: '2015' },
      {
        citation: '27 CFR 30.31(a): proof to the nearest tenth of a degree, by which proof gallons are calculated',
        edition: '2015',
        note: 'How a half is rounded, and tax to the cent: common practice, no source. The first day is a placeholder.',
      },
      {
        citation:
          '27 CFR 30.64: of gallons beyond the first decimal, less than 0.05 is dropped, 0.05 or more is added as 0.1',
        edition: '2020',
        note: 'Of the gauge of a tank or package by weight: so each release is rounded, not the sum of the period.',
      },
    ],
    currency: 'USD',
    cadence: 'month',
    strengthForDuty: { rule: 'declared' },
    categories: [
      {
        code: 'spirits',
        name: 'Distilled spirits',
        basis: 'proof-gallon-60f',
        unit: 'proof-gallon',
        bands: ALL_STRENGTHS,
        rounding: [
          { name: 'proof to 0.1', basis: 'proof', mode: 'half-up', places: 1 },
          { name: 'proof gallons to 0.1', basis: 'proof-gallons', mode: 'half-up', places: 1 },
          { name: 'tax to the cent', basis: 'money', mode: 'half-up', places: 2, grouping: 'period' },
        ],
      },
    ],
  },
};
