import type { Examples } from '../shared/calculation.decorator.js';

export const comparisonExamples: Examples = {
  agree: {
    summary: 'Mass balance against a certificate',
    request: {
      first: {
        method: 'mass-balance',
        strength: {
          value: 5.21,
          unit: '%',
        },
        standardUncertainty: {
          value: 0.13,
          unit: '%',
        },
      },
      second: {
        method: 'certificate',
        strength: {
          value: 5.06,
          unit: '%',
        },
        standardUncertainty: {
          value: 0.03,
          unit: '%',
        },
      },
    },
    response: {
      difference: {
        value: 0.15,
        unit: '%',
      },
      expandedUncertainty: {
        value: 0.266833281283,
        unit: '%',
      },
      normalisedError: 0.562148766747,
      agree: true,
      statement:
        'mass-balance and certificate agree within their uncertainty: they differ by 0.15 % vol against 0.27 % vol (E_n 0.56). That does not make either better than its own uncertainty.',
      method: {
        id: 'normalised-error',
        version: '1.0.0',
        source: 'ISO/IEC 17043 (E_n); JCGM 100, 5.2',
      },
      warnings: ['Both findings have to be of one composition.'],
    },
  },
  sharedHydrometer: {
    summary: 'Two findings that share a hydrometer',
    request: {
      first: {
        strength: {
          value: 5.21,
          unit: '%',
        },
        components: [
          {
            origin: 'hydrometer-7',
            contribution: 0.08,
          },
          {
            origin: 'reading-1',
            contribution: 0.03,
          },
        ],
      },
      second: {
        strength: {
          value: 5.32,
          unit: '%',
        },
        components: [
          {
            origin: 'hydrometer-7',
            contribution: 0.08,
          },
          {
            origin: 'reading-2',
            contribution: 0.03,
          },
        ],
      },
    },
    response: {
      difference: {
        value: -0.11,
        unit: '%',
      },
      expandedUncertainty: {
        value: 0.0848528137424,
        unit: '%',
      },
      normalisedError: 1.29636243218,
      agree: false,
      statement:
        'first and second disagree: they differ by 0.11 % vol against 0.08 % vol (E_n 1.30). One of the readings, or what is assumed of the liquid, is wrong.',
      method: {
        id: 'normalised-error',
        version: '1.0.0',
        source: 'ISO/IEC 17043 (E_n); JCGM 100, 5.2',
      },
      warnings: ['Both findings have to be of one composition.'],
    },
  },
};
