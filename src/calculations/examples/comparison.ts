import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const comparisonExamples: RequestExamples = {
  agree: {
    summary: 'Mass balance against a certificate (ISO/IEC 17043, E_n)',
    request: {
      first: {
        method: 'mass-balance',
        strength: { value: 5.21, unit: '%' },
        standardUncertainty: { value: 0.13, unit: '%' },
      },
      second: {
        method: 'certificate',
        strength: { value: 5.06, unit: '%' },
        standardUncertainty: { value: 0.03, unit: '%' },
      },
    },
  },
  sharedHydrometer: {
    summary: 'Two findings that share a hydrometer',
    request: {
      first: {
        strength: { value: 5.21, unit: '%' },
        components: [
          { origin: 'hydrometer-7', contribution: 0.08 },
          { origin: 'reading-1', contribution: 0.03 },
        ],
      },
      second: {
        strength: { value: 5.32, unit: '%' },
        components: [
          { origin: 'hydrometer-7', contribution: 0.08 },
          { origin: 'reading-2', contribution: 0.03 },
        ],
      },
    },
  },
};
