import { percent } from '../rules/rule-set.js';
import type { DutyCategory, RuleSource } from '../rules/rule-set.js';
import type { StartingPoint } from './starting-point.js';
import { ALL_STRENGTHS } from './starting-point.js';

const ATO: RuleSource = {
  citation:
    'ATO, calculating excise duty: litres of alcohol of each line of the return cut to one decimal, the amount cut to the cent',
  url: 'https://www.ato.gov.au',
  edition: '2019 and 2023',
  note: 'A line of the return is a category and band of the period here: so the cut is taken of the period’s sum, not of each release.',
};

const ROUNDING: DutyCategory['rounding'] = [
  {
    name: 'litres of alcohol of the line of the return cut to 0.1',
    basis: 'litres-of-alcohol',
    mode: 'cut',
    places: 1,
    grouping: 'period',
  },
  { name: 'duty cut to the cent', basis: 'money', mode: 'cut', places: 2, grouping: 'period' },
];

export const AUSTRALIA: StartingPoint = {
  key: 'au-litres-of-alcohol',
  title: 'Australia: litres of alcohol, of beer above 1.15 %',
  rates:
    'The set has no rates: they depend on the size of the container and move twice a year; the one at hand (50.70 AUD in an example of October 2019) does not say which beer it is for.',
  ruleSet: {
    name: 'Australia: litres of alcohol above 1.15 % of beer, cut to 0.1 a line, money cut',
    validFrom: '2019-01-01',
    sources: [
      ATO,
      {
        citation:
          'Excise (Alcoholic strength of excisable goods) Determination 2019: up to 0.2 percentage points above the label the label counts',
        edition: '2019',
        note: 'The 0.2 is from memory. The first day is a placeholder.',
      },
    ],
    currency: 'AUD',
    cadence: 'month',
    labelTolerance: percent(0.2),
    strengthForDuty: { rule: 'declared-unless-measured-above', tolerance: percent(0.2) },
    categories: [
      {
        code: 'beer',
        name: 'Beer',
        takes: ['beer'],
        basis: 'litre-of-alcohol',
        unit: 'L',
        freeStrength: percent(1.15),
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
        rounding: ROUNDING,
      },
      {
        code: 'other',
        name: 'Spirits and other excisable beverages',
        basis: 'litre-of-alcohol',
        unit: 'L',
        bands: ALL_STRENGTHS,
        rounding: ROUNDING,
      },
    ],
  },
};

export const GERMANY: StartingPoint = {
  key: 'de-plato',
  title: 'Germany: beer by whole degrees Plato',
  rates: 'The standard rate of the act of 2009; no reduced rates of small breweries.',
  ruleSet: {
    name: 'Germany: hectolitres times whole degrees Plato, money cut',
    validFrom: '2010-04-01',
    sources: [
      {
        citation: 'BierStG section 2(1): 0.787 EUR per hectolitre and degree Plato, decimals of the degree dropped',
        url: 'https://elchwinkel.de/gesetze/bierstg-2009/2',
        edition: 'BierStG 2009',
        note: 'The first day is from memory. The Plato of a lot is that of its finding of record by the large Balling formula.',
      },
      {
        citation: 'Table of beer tax of the customs authority: 11 × 0.787 = 8.657 is printed as 8.65, so money is cut',
        url: 'https://zoll.de/DE/Fachthemen/Steuern/Verbrauchsteuern',
        edition: 'undated',
        note: 'The table cuts the tax of one hectolitre. The return lists the hectolitres of each degree in the month; here the money of such a line is cut, not that of each release.',
      },
    ],
    currency: 'EUR',
    cadence: 'month',
    strengthForDuty: { rule: 'declared' },
    categories: [
      {
        code: 'beer',
        name: 'Beer',
        basis: 'plato-hectolitre',
        unit: 'hL.plato',
        bands: [
          {
            code: 'alcohol-free',
            name: 'to 0.5 % vol',
            fromStrength: percent(0),
            belowStrength: percent(0.500001),
            untaxed: true,
          },
          { code: 'beer', name: 'above 0.5 % vol', fromStrength: percent(0.500001) },
        ],
        rates: [{ band: 'beer', from: '2010-04-01', amount: 0.787 }],
        rounding: [
          { name: 'whole degrees Plato', basis: 'plato', mode: 'cut', places: 0 },
          {
            name: 'tax of the line of the return cut to the cent',
            basis: 'money',
            mode: 'cut',
            places: 2,
            grouping: 'period',
          },
        ],
      },
    ],
  },
};
