import type { DutyTerm, FormLine } from '../rules/mapping.js';
import type { ReturnMappingStart } from './starting-point.js';

const ALL = ['litres', 'alcohol', 'duty'];
const LARGE = { value: 20, unit: 'L' } as const;

const BANDS: readonly (readonly [code: string, words: string])[] = [
  ['1.3-3.4', '1.3 to 3.4 %'],
  ['3.5-8.4', '3.5 to 8.4 %'],
  ['8.5-22', '8.5 to 22 %'],
  ['above-22', 'above 22 %'],
];

const releases = (dutyCategory: string, band: string, more: Partial<DutyTerm>): DutyTerm => ({
  part: 'releases',
  dutyCategories: [dutyCategory],
  bands: [band],
  ...more,
});

const row = (line: string, label: string, duty: readonly DutyTerm[]): FormLine => ({ line, label, columns: ALL, duty });

/** Rows of one class: standard rate, draught relief, small producer relief; reliefs are below 8.5 % vol. */
function classRows(prefix: string, name: string, dutyCategory: string): FormLine[] {
  const standard = BANDS.map(([band, words], i) =>
    row(`${prefix}${i + 1}`, `${name}, ${words}`, [releases(dutyCategory, band, { relieved: false })]),
  );
  const relieved = BANDS.slice(0, 2).flatMap(([band, words], i) => [
    row(`${prefix}${i + 5}`, `${name}, ${words}, draught`, [
      releases(dutyCategory, band, { relieved: true, forDispense: true, fromVolume: LARGE }),
    ]),
    row(`${prefix}${i + 7}`, `${name}, ${words}, small producer`, [
      releases(dutyCategory, band, { relieved: true, forDispense: false }),
      releases(dutyCategory, band, { relieved: true, forDispense: true, belowVolume: LARGE }),
    ]),
  ]);
  return [...standard, ...relieved].sort((a, b) => (a.line < b.line ? -1 : 1));
}

const PRODUCTS = [...classRows('B', 'Beer', 'beer'), ...classRows('O', 'Other', 'other')];

export const UNITED_KINGDOM_RETURN: ReturnMappingStart = {
  key: 'uk-alcohol-duty-return',
  title: 'United Kingdom: amounts of an Alcohol Duty return by class and band',
  seen: 'Parts of the return (products, under-declared, over-declared, spoilt or drawn back) and its places (litres to 2, litres of pure alcohol to 4) as in the published service; the numbers of the lines are our own, and tax type codes are not given. It names the categories of the duty rules of the starting point uk-litre-of-alcohol: add those rules first, and take “Other” apart by class if you make cider, wine or spirits. A relief has to stand in your duty rules. Movements under suspension have to be filled in by hand.',
  mapping: {
    name: 'UK Alcohol Duty return',
    formTitle: 'Alcohol Duty return: amounts by class and band',
    sources: [
      {
        citation: 'Alcoholic products technical guide, section 5 (returns) and section 7.2 (bands)',
        url: 'https://www.gov.uk/guidance/alcoholic-products-technical-guide/section-5-returns-and-payments',
        edition: '2025',
      },
      {
        citation: 'Finance (No. 2) Act 2023 s.50, guidance on draught relief: 20 L or more, below 8.5 %, for dispense',
        url: 'https://gov.uk/guidance/check-if-you-can-pay-less-alcohol-duty-on-draught-products',
        edition: '2023 to 2025',
      },
      {
        citation: 'Work out how much Alcohol Duty you need to pay: the amount is cut to the penny',
        url: 'https://gov.uk/guidance/work-out-how-much-alcohol-duty-you-need-to-pay',
        edition: 'February 2025',
        note: 'The published service shows litres of pure alcohol with four decimals; that they are cut and not rounded there is from memory.',
      },
    ],
    currency: 'GBP',
    unit: 'L',
    rounding: [
      { unit: 'L', mode: 'half-up', places: 2 },
      { unit: 'L-pure-alcohol', mode: 'cut', places: 4 },
      { unit: 'money', mode: 'cut', places: 2 },
    ],
    columns: [
      { code: 'litres', label: 'Product', unit: 'L' },
      { code: 'alcohol', label: 'Alcohol', unit: 'L-pure-alcohol' },
      { code: 'duty', label: 'Duty', unit: 'money' },
    ],
    lines: [
      ...PRODUCTS,
      {
        line: 'T1',
        label: 'Duty on products',
        columns: ['duty'],
        lines: PRODUCTS.map(({ line }) => ({ line, rounded: true })),
      },
      row('U', 'Under-declared in earlier returns', [{ part: 'under-declared' }]),
      row('V', 'Over-declared in earlier returns', [{ part: 'over-declared', sign: 'minus' }]),
      row('W', 'Spoilt or drawn back: goods returned', [{ part: 'returned' }]),
      row('X', 'Chargeable deficiency', [{ part: 'deficiency' }]),
      {
        line: 'T2',
        label: 'Duty due',
        columns: ['duty'],
        lines: [
          { line: 'T1', rounded: true },
          { line: 'U', rounded: true },
          { line: 'V', rounded: true, sign: 'minus' },
          { line: 'W', rounded: true, sign: 'minus' },
          { line: 'X', rounded: true },
        ],
      },
    ],
  },
};
