import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const fillCheckExamples: RequestExamples = {
  cans: {
    summary: 'Ten cans of 330 mL',
    request: {
      nominalVolume: { value: 330, unit: 'mL' },
      fills: { values: [331.2, 329.8, 330.4, 331, 330.1, 329.5, 330.9, 331.4, 330, 330.6], unit: 'mL' },
    },
  },
};
