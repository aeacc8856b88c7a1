import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const modelBiasExamples: RequestExamples = {
  sixLots: {
    summary: 'Six lots of one recipe',
    request: {
      pairs: [
        {
          massBalance: { value: 5.2, unit: '%' },
          certificate: { value: 5.12, unit: '%' },
          certificateStandardUncertainty: { value: 0.03, unit: '%' },
        },
        {
          massBalance: { value: 5.31, unit: '%' },
          certificate: { value: 5.2, unit: '%' },
          certificateStandardUncertainty: { value: 0.03, unit: '%' },
        },
        {
          massBalance: { value: 5.08, unit: '%' },
          certificate: { value: 5.03, unit: '%' },
          certificateStandardUncertainty: { value: 0.03, unit: '%' },
        },
        {
          massBalance: { value: 5.26, unit: '%' },
          certificate: { value: 5.17, unit: '%' },
          certificateStandardUncertainty: { value: 0.03, unit: '%' },
        },
        {
          massBalance: { value: 5.15, unit: '%' },
          certificate: { value: 5.05, unit: '%' },
          certificateStandardUncertainty: { value: 0.03, unit: '%' },
        },
        {
          massBalance: { value: 5.22, unit: '%' },
          certificate: { value: 5.16, unit: '%' },
          certificateStandardUncertainty: { value: 0.03, unit: '%' },
        },
      ],
    },
  },
};
