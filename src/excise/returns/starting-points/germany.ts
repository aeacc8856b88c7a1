import type { ReturnMappingStart } from './starting-point.js';

export const GERMANY_RETURN: ReturnMappingStart = {
  key: 'de-beer-tax-return',
  title: 'Germany: hectolitres of beer by whole degree Plato',
  seen: 'The classes by whole degree and the rate are published in the act. That the form (2075) has a row for each degree, with hectolitres cut to 0.01, is from a description of it by a taxpayer; the numbers of the lines are our own. That the tax of a row is cut to the cent follows the table of the customs authority.',
  mapping: {
    name: 'German beer tax return',
    formTitle: 'Beer tax return: hectolitres by degree Plato',
    sources: [
      {
        citation:
          'BierStG section 2(1): classes by degree Plato, fractions of a degree left out; 0.787 EUR per hectolitre and degree',
        url: 'https://www.buzer.de/gesetz/8882/v289570-2022-10-29.htm',
        edition: '29 October 2022',
      },
      {
        citation: 'Customs authority, table of beer tax: 11 × 0.787 = 8.657 is printed as 8.65',
        url: 'https://zoll.de/DE/Fachthemen/Steuern/Verbrauchsteuern/Alkohol-Tabakwaren-Kaffee/Steuerhoehe-Besonderheiten-kleine-Erzeuger/Bier/bier_node.html',
        edition: 'undated',
      },
    ],
    currency: 'EUR',
    unit: 'hL',
    rounding: [
      { unit: 'hL', mode: 'cut', places: 2 },
      { unit: 'money', mode: 'cut', places: 2 },
    ],
    columns: [
      { code: 'hl', label: 'Beer', unit: 'hL' },
      { code: 'tax', label: 'Tax', unit: 'money' },
    ],
    lines: [
      { line: '1', label: 'Beer', byDegree: true, duty: [{ part: 'releases' }] },
      {
        line: '2',
        label: 'Tax on beer',
        columns: ['tax'],
        lines: [{ line: '1', rounded: true }],
      },
      { line: '3', label: 'Declared too low in earlier months', columns: ['tax'], duty: [{ part: 'under-declared' }] },
      {
        line: '4',
        label: 'Declared too high in earlier months',
        columns: ['tax'],
        duty: [{ part: 'over-declared', sign: 'minus' }],
      },
      { line: '5', label: 'Returned to the brewery', columns: ['tax'], duty: [{ part: 'returned' }] },
      {
        line: '6',
        label: 'Missing quantities that are taxed',
        columns: ['tax'],
        duty: [{ part: 'deficiency' }],
      },
      {
        line: '7',
        label: 'Tax to pay',
        columns: ['tax'],
        lines: [
          { line: '2', rounded: true },
          { line: '3', rounded: true },
          { line: '4', rounded: true, sign: 'minus' },
          { line: '5', rounded: true, sign: 'minus' },
          { line: '6', rounded: true },
        ],
      },
    ],
  },
};
