import type { Examples } from '../shared/calculation.decorator.js';

export const conformityExamples: Examples = {
  conforms: {
    summary: '5.12 % found, 5.0 % declared, ± 0.5 % allowed',
    request: {
      measured: {
        value: 5.12,
        unit: '%',
      },
      standardUncertainty: {
        value: 0.09,
        unit: '%',
      },
      declared: {
        value: 5,
        unit: '%',
      },
      tolerance: {
        value: 0.5,
        unit: '%',
      },
    },
    response: {
      decision: 'conforms',
      probability: 0.999987904726,
      acceptance: {
        lower: {
          value: 4.64803682643,
          unit: '%',
        },
        upper: {
          value: 5.35196317357,
          unit: '%',
        },
      },
      method: {
        id: 'conformity-guard-band',
        version: '1.0.0',
        source: 'JCGM 106:2012, clauses 7 and 8.3',
      },
      warnings: [
        'The tolerance and the accepted risk are yours; local law and licensed practice decide what conforms.',
      ],
    },
  },
  cannotTell: {
    summary: 'Too near to the limit to tell',
    request: {
      measured: {
        value: 5.42,
        unit: '%',
      },
      standardUncertainty: {
        value: 0.09,
        unit: '%',
      },
      declared: {
        value: 5,
        unit: '%',
      },
      tolerance: {
        value: 0.5,
        unit: '%',
      },
      allowedRisk: 0.05,
    },
    response: {
      decision: 'cannot-tell',
      probability: 0.812968601255,
      acceptance: {
        lower: {
          value: 4.64803682643,
          unit: '%',
        },
        upper: {
          value: 5.35196317357,
          unit: '%',
        },
      },
      method: {
        id: 'conformity-guard-band',
        version: '1.0.0',
        source: 'JCGM 106:2012, clauses 7 and 8.3',
      },
      warnings: [
        'The tolerance and the accepted risk are yours; local law and licensed practice decide what conforms.',
      ],
    },
  },
};
