import type { Examples } from '../shared/calculation.decorator.js';

export const fillCheckExamples: Examples = {
  cans: {
    summary: 'Ten cans of 330 mL',
    request: {
      nominalVolume: {
        value: 330,
        unit: 'mL',
      },
      fills: {
        values: [331.2, 329.8, 330.4, 331, 330.1, 329.5, 330.9, 331.4, 330, 330.6],
        unit: 'mL',
      },
    },
    response: {
      verdict: 'passes',
      count: 10,
      mean: {
        value: 330.49,
        unit: 'mL',
      },
      standardDeviation: {
        value: 0.63499781277,
        unit: 'mL',
      },
      standardUncertaintyOfMean: {
        value: 0.200803939758,
        unit: 'mL',
      },
      meanReachesNominal: true,
      tolerableNegativeError: {
        value: 9.9,
        unit: 'mL',
      },
      rules: [
        {
          rule: 'average',
          passes: true,
          mean: {
            value: 330.49,
            unit: 'mL',
          },
          leastMean: {
            value: 329.34742022,
            unit: 'mL',
          },
        },
        {
          rule: 'tolerable-negative-error',
          passes: true,
          shortContainers: 0,
          mostShortContainers: 1,
        },
        {
          rule: 'twice-tolerable-negative-error',
          passes: true,
          shortContainers: 0,
          mostShortContainers: 0,
        },
      ],
      method: {
        id: 'fill-check',
        version: '1.0.0',
        source: 'Directive 76/211/EEC; OIML R 87',
      },
      warnings: [
        'A small sample shows little, and the measuring uncertainty of the single fills is not taken off.',
        'The legal check is the officer’s: local law and licensed practice decide what may be sold.',
      ],
    },
  },
};
