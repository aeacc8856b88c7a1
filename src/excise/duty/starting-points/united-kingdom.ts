import { percent } from '../rules/rule-set.js';
import type { DutyCategory, DutyRate, RuleSource, StrengthBand } from '../rules/rule-set.js';
import type { StartingPoint } from './starting-point.js';
import { NO_RATES } from './starting-point.js';

const STRENGTH: RuleSource = {
  citation: 'Alcoholic products technical guide, section 11: strength is cut down to one decimal, never up',
  url: 'https://gov.uk/guidance/alcoholic-products-technical-guide/section-11-alcoholic-strength',
  edition: '2025',
};
const SUM: RuleSource = {
  citation: 'Work out how much Alcohol Duty you need to pay: litres of alcohol times rate, the amount cut to the penny',
  url: 'https://gov.uk/guidance/work-out-how-much-alcohol-duty-you-need-to-pay',
  edition: 'August 2023 and February 2025',
  note: 'The guide rounds the duty of a product down. The return asks for the sum of a band, so that sum is cut here.',
};
const BANDS_OF_THE_GUIDE: RuleSource = {
  citation:
    'Alcoholic products technical guide, section 7.2: bands above 1.2 to 3.4, 3.5 to below 8.5, 8.5 to 22, above 22 %',
  url: 'https://gov.uk/guidance/alcoholic-products-technical-guide/section-7-duty-liability',
  edition: '2025',
  note: 'Of a strength cut to one decimal, above 1.2 is from 1.3 and above 22 is from 22.1.',
};

const BANDS: readonly StrengthBand[] = [
  { code: 'to-1.2', name: 'to 1.2 % vol', fromStrength: percent(0), belowStrength: percent(1.3), untaxed: true },
  { code: '1.3-3.4', name: '1.3 to 3.4 % vol', fromStrength: percent(1.3), belowStrength: percent(3.5) },
  { code: '3.5-8.4', name: '3.5 to 8.4 % vol', fromStrength: percent(3.5), belowStrength: percent(8.5) },
  { code: '8.5-22', name: '8.5 to 22 % vol', fromStrength: percent(8.5), belowStrength: percent(22.1) },
  { code: 'above-22', name: 'above 22 % vol', fromStrength: percent(22.1) },
];

/** GBP per litre of pure alcohol, beer: test/reference/excise/classification-inputs.csv names the months, the first day of each is taken. */
const BEER: readonly (readonly [band: string, august2023: number, february2025: number])[] = [
  ['1.3-3.4', 9.27, 9.61],
  ['3.5-8.4', 21.01, 21.78],
  ['8.5-22', 28.5, 29.54],
  ['above-22', 31.64, 32.79],
];
const BEER_RATES: readonly DutyRate[] = BEER.flatMap(([band, august2023, february2025]) => [
  { band, from: '2023-08-01', before: '2025-02-01', amount: august2023 },
  { band, from: '2025-02-01', before: '2026-02-01', amount: february2025 },
]);

const STRENGTH_STEP = { name: 'strength cut to 0.1', basis: 'strength', mode: 'cut', places: 1 } as const;
const ROUNDING: DutyCategory['rounding'] = [
  STRENGTH_STEP,
  { name: 'duty cut to the penny', basis: 'money', mode: 'cut', places: 2, grouping: 'period' },
];

export const UNITED_KINGDOM: StartingPoint = {
  key: 'uk-litre-of-alcohol',
  title: 'United Kingdom: litres of pure alcohol',
  rates:
    'Standard rates of beer as published for August 2023 and February 2025; they move every February, so the later ones end before February 2026. Other products, draught and small-producer relief have none here.',
  ruleSet: {
    name: 'United Kingdom: litres of pure alcohol, strength cut to 0.1, money cut to the penny',
    validFrom: '2023-08-01',
    sources: [STRENGTH, SUM, BANDS_OF_THE_GUIDE],
    currency: 'GBP',
    cadence: 'month',
    strengthForDuty: { rule: 'declared' },
    categories: [
      {
        code: 'beer',
        name: 'Beer, standard rate',
        takes: ['beer'],
        basis: 'litre-of-alcohol',
        unit: 'L',
        bands: BANDS,
        rates: BEER_RATES,
        rounding: ROUNDING,
      },
      {
        code: 'other',
        name: 'All else; rates have to be given',
        basis: 'litre-of-alcohol',
        unit: 'L',
        bands: BANDS,
        rounding: ROUNDING,
      },
    ],
  },
};

export const HECTOLITRE_PERCENT: StartingPoint = {
  key: 'uk-hectolitre-percent',
  title: 'United Kingdom before August 2023, and other hectolitre-per-cent laws: beer',
  rates: NO_RATES,
  ruleSet: {
    name: 'Hectolitre per cent, strength cut to 0.1, money cut to the penny',
    validFrom: '1993-06-01',
    sources: [
      {
        citation:
          'Directive 92/83/EEC Art 3: beer per hectolitre and per cent of alcohol by volume of the finished product',
        url: 'https://legislation.gov.uk/eudr/1992/83/section/I',
        edition: 'text at the end of 2020',
        note: 'One hectolitre per cent is one litre of pure alcohol. The first day is from memory.',
      },
      STRENGTH,
      SUM,
    ],
    currency: 'GBP',
    cadence: 'month',
    strengthForDuty: { rule: 'declared' },
    categories: [
      {
        code: 'beer',
        name: 'Beer',
        basis: 'hectolitre-percent',
        unit: 'hL.%',
        bands: [
          {
            code: 'to-1.2',
            name: 'to 1.2 % vol',
            fromStrength: percent(0),
            belowStrength: percent(1.3),
            untaxed: true,
          },
          { code: 'above-1.2', name: 'above 1.2 % vol', fromStrength: percent(1.3) },
        ],
        rounding: ROUNDING,
      },
    ],
  },
};
