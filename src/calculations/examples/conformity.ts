import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const conformityExamples: RequestExamples = {
  conforms: {
    summary: '5.12 % found, 5.0 % declared, ± 0.5 % allowed (JCGM 106, 8.3.2)',
    request: {
      measured: { value: 5.12, unit: '%' },
      standardUncertainty: { value: 0.09, unit: '%' },
      declared: { value: 5, unit: '%' },
      tolerance: { value: 0.5, unit: '%' },
    },
  },
  minimum: {
    summary: 'At least 37.5 % vol: a limit on one side (JCGM 106, 8.3.2)',
    request: {
      measured: { value: 37.62, unit: '%' },
      standardUncertainty: { value: 0.06, unit: '%' },
      declared: { value: 37.5, unit: '%' },
      toleranceBelow: { value: 0, unit: '%' },
    },
  },
  cannotTell: {
    summary: 'Too near to the limit to tell',
    request: {
      measured: { value: 5.42, unit: '%' },
      standardUncertainty: { value: 0.09, unit: '%' },
      declared: { value: 5, unit: '%' },
      tolerance: { value: 0.5, unit: '%' },
      allowedRisk: 0.05,
    },
  },
};
