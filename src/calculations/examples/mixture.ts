import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const mixtureExamples: RequestExamples = {
  twoTanks: {
    summary: 'Two tanks of one hydrometer into a third',
    request: {
      components: [
        {
          name: 'tank 4',
          volume: { value: 120, unit: 'L' },
          strength: { value: 6.2, unit: '%' },
          extract: 3.1,
          strengthStandardUncertainty: { value: 0.1, unit: '%' },
          volumeStandardUncertainty: { value: 0.6, unit: 'L' },
          strengthOrigin: 'hydrometer-7',
        },
        {
          name: 'tank 5',
          volume: { value: 80, unit: 'L' },
          strength: { value: 4.4, unit: '%' },
          extract: 2.6,
          strengthStandardUncertainty: { value: 0.1, unit: '%' },
          volumeStandardUncertainty: { value: 0.4, unit: 'L' },
          strengthOrigin: 'hydrometer-7',
        },
      ],
    },
  },
};
