import type { Examples } from '../shared/calculation.decorator.js';

export const modelBiasExamples: Examples = {
  sixLots: {
    summary: 'Six lots of one recipe',
    request: {
      pairs: [
        {
          massBalance: {
            value: 5.2,
            unit: '%',
          },
          certificate: {
            value: 5.12,
            unit: '%',
          },
          certificateStandardUncertainty: {
            value: 0.03,
            unit: '%',
          },
        },
        {
          massBalance: {
            value: 5.31,
            unit: '%',
          },
          certificate: {
            value: 5.2,
            unit: '%',
          },
          certificateStandardUncertainty: {
            value: 0.03,
            unit: '%',
          },
        },
        {
          massBalance: {
            value: 5.08,
            unit: '%',
          },
          certificate: {
            value: 5.03,
            unit: '%',
          },
          certificateStandardUncertainty: {
            value: 0.03,
            unit: '%',
          },
        },
        {
          massBalance: {
            value: 5.26,
            unit: '%',
          },
          certificate: {
            value: 5.17,
            unit: '%',
          },
          certificateStandardUncertainty: {
            value: 0.03,
            unit: '%',
          },
        },
        {
          massBalance: {
            value: 5.15,
            unit: '%',
          },
          certificate: {
            value: 5.05,
            unit: '%',
          },
          certificateStandardUncertainty: {
            value: 0.03,
            unit: '%',
          },
        },
        {
          massBalance: {
            value: 5.22,
            unit: '%',
          },
          certificate: {
            value: 5.16,
            unit: '%',
          },
          certificateStandardUncertainty: {
            value: 0.03,
            unit: '%',
          },
        },
      ],
    },
    response: {
      count: 6,
      relativeBias: -0.0156607934527,
      relativeStandardUncertainty: 0.00748550186247,
      degreesOfFreedom: 33.2991553905,
      coverageFactor: 2.03451529745,
      relativeExpandedUncertainty: 0.0152293680483,
      method: {
        id: 'model-bias',
        version: '1.0.0',
        source: 'JCGM 100, 4.2 and G.4; certificate pairs of one recipe',
      },
      warnings: ['It holds for further lots of the same recipe, fermented and measured in the same way.'],
    },
  },
};
