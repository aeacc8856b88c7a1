import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const blendExamples: RequestExamples = {
  three: {
    summary: 'Three lots to 100 L of 5 %',
    request: {
      components: [
        { name: 'strong', strength: { value: 12.4, unit: '%' }, available: { value: 60, unit: 'L' }, extract: 0.8 },
        {
          name: 'light',
          strength: { value: 3.8, unit: '%' },
          available: { value: 200, unit: 'L' },
          minimum: { value: 20, unit: 'L' },
          extract: 2.1,
        },
        { name: 'water', strength: { value: 0, unit: '%' }, available: { value: 500, unit: 'L' } },
      ],
      target: { volume: { value: 100, unit: 'L' }, strength: { value: 5, unit: '%' } },
    },
  },
};
