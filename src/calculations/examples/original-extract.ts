import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const originalExtractExamples: RequestExamples = {
  sugarFed: {
    summary: '8 kg of sugar fed while it fermented',
    request: {
      originalGravity: { value: 1.06, scale: 'sg-20-20' },
      standardUncertainty: 0.06,
      additions: [
        {
          vesselMass: { value: 210, unit: 'kg', standardUncertainty: 1 },
          alcoholByMass: { value: 3.5, unit: '%' },
          addedMass: { value: 8, unit: 'kg' },
          addedExtract: { value: 100, unit: '%' },
        },
      ],
    },
  },
};
