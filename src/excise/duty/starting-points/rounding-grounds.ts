import type { StartingPoint } from './starting-point.js';

/** Things that a published rule can put its rounding on. */
export const ROUNDED_THINGS = ['product', 'release', 'day', 'return-line', 'return', 'unit'] as const;
export type RoundedThing = (typeof ROUNDED_THINGS)[number];

export const SEEN = ['seen', 'seen in part', 'memory', 'no source'] as const;

/** The place where a published rule puts one of its roundings, beside the place where a set takes it. */
export interface RoundingGround {
  /** Name of the step in the set. */
  readonly step: string;
  readonly published?: RoundedThing;
  readonly taken: RoundedThing;
  readonly source: string;
  readonly seen: (typeof SEEN)[number];
  readonly note?: string;
}

const UK_STRENGTH: RoundingGround = {
  step: 'strength cut to 0.1',
  published: 'product',
  taken: 'product',
  source: 'Alcoholic products technical guide s.11 (2025)',
  seen: 'seen',
};
const UK_MONEY: RoundingGround = {
  step: 'duty cut to the penny',
  published: 'product',
  taken: 'return-line',
  source: 'Work out how much Alcohol Duty you need to pay, steps 1 to 5 (August 2023, February 2025)',
  seen: 'seen',
  note: 'The guide works out one product. The return asks for the sum of a band, so the sum of a category, band and rate in the period is cut: at most a penny more for each further product of the band.',
};
const US_CENTS: RoundingGround = {
  step: 'tax to the cent',
  published: 'return',
  taken: 'return-line',
  source: '27 CFR 25.163: less than half a cent is disregarded, half a cent or more is a cent (2021)',
  seen: 'seen',
  note: 'With one rate in the period, line and return are the same.',
};

/** By the key of the starting point, a row for each step of its rules. */
const GROUNDS: Readonly<Record<string, readonly RoundingGround[]>> = {
  'plain-litre-of-alcohol': [],
  'uk-litre-of-alcohol': [UK_STRENGTH, UK_MONEY],
  'uk-hectolitre-percent': [UK_STRENGTH, UK_MONEY],
  'us-barrels': [
    {
      step: 'removal to 5 decimals',
      published: 'release',
      taken: 'release',
      source: '27 CFR 25.156(c), 25.157 (2024)',
      seen: 'seen',
    },
    {
      step: 'day sum to 2 decimals',
      published: 'day',
      taken: 'day',
      source: '27 CFR 25.156(c), 25.157 (2024)',
      seen: 'seen',
      note: 'The text has one sum of a day for kegs and one for bottles; the set has one for both, at most 0.01 barrel apart on a day.',
    },
    US_CENTS,
  ],
  'us-proof-gallons': [
    {
      step: 'proof to 0.1',
      published: 'product',
      taken: 'product',
      source: '27 CFR 30.31(a) (2015)',
      seen: 'seen',
    },
    {
      step: 'proof gallons to 0.1',
      published: 'release',
      taken: 'release',
      source: '27 CFR 30.64: beyond the first decimal, less than 0.05 is dropped, 0.05 or more is 0.1 (2020)',
      seen: 'seen in part',
      note: 'The text is of the gauge of a tank or package by weight; that of cases was not at hand.',
    },
    {
      step: 'tax to the cent',
      taken: 'return-line',
      source: 'common practice, no source',
      seen: 'no source',
    },
  ],
  'au-litres-of-alcohol': [
    {
      step: 'litres of alcohol of the line of the return cut to 0.1',
      published: 'return-line',
      taken: 'return-line',
      source: 'ATO, calculating alcohol excise duty (2019, 2023)',
      seen: 'seen',
      note: 'A line is a category and band here; the return has a line for each tariff subitem, see the return mapping. Up to the return the page has two decimals: these are not taken, as it does not say how they are rounded.',
    },
    {
      step: 'duty cut to the cent',
      published: 'return-line',
      taken: 'return-line',
      source: 'ATO, calculating alcohol excise duty, example: 3.2 × 57.79 = 184.928 is printed as 184.92 (2023)',
      seen: 'seen',
    },
  ],
  'de-plato': [
    {
      step: 'whole degrees Plato',
      published: 'product',
      taken: 'product',
      source: 'BierStG s.2(1): fractions of a degree are left out (2022)',
      seen: 'seen',
    },
    {
      step: 'tax of the line of the return cut to the cent',
      published: 'unit',
      taken: 'return-line',
      source: 'Customs authority, table of beer tax: 8.657 is printed as 8.65 (undated)',
      seen: 'seen in part',
      note: 'The table cuts the tax of one hectolitre. The act puts beer into classes by degree, and the return has a row for each: the tax of a row is cut, not that of each release.',
    },
  ],
  'nz-litre-of-alcohol': [],
};

/** Places of the roundings in the rules behind a starting point. */
export const roundingGroundsOf = ({ key }: StartingPoint): readonly RoundingGround[] => GROUNDS[key] ?? [];
