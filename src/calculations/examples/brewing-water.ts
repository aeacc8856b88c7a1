import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const brewingWaterExamples: RequestExamples = {
  seltzer: {
    summary: 'Calcium chloride and gypsum in 200 L of soft water',
    request: {
      volume: { value: 200, unit: 'L' },
      base: {
        calcium: { value: 20, unit: 'mg/L' },
        bicarbonate: { value: 61, unit: 'mg/L' },
      },
      salts: [
        { salt: 'calcium-chloride-dihydrate', mass: { value: 20, unit: 'g' } },
        { salt: 'calcium-sulfate-dihydrate', mass: { value: 15, unit: 'g' } },
      ],
    },
  },
  epsom: {
    summary: 'A quarter ounce of Epsom salt in 10 US gallons of distilled water',
    request: {
      volume: { value: 10, unit: '[gal_us]' },
      salts: [{ salt: 'magnesium-sulfate-heptahydrate', mass: { value: 0.25, unit: '[oz_av]' } }],
    },
  },
};
