import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const planExamples: RequestExamples = {
  sugarWash: {
    summary: 'A sugar wash from dextrose monohydrate, forwards',
    request: {
      fermentables: [{ kind: 'dextrose-monohydrate', mass: { value: 36, unit: 'kg' } }],
      volume: { value: 200, unit: 'L' },
      expectation: { finalGravity: { value: 0.994, scale: 'sg-20-20' } },
    },
  },
  backwards: {
    summary: 'Malt and sucrose for 500 L of 6.5 %, as proportions',
    request: {
      fermentables: [
        { kind: 'malt', mass: { value: 9, unit: 'kg' }, extractYield: { value: 62, unit: '%' } },
        { kind: 'sucrose', mass: { value: 1, unit: 'kg' } },
      ],
      wanted: { strength: { value: 6.5, unit: '%' }, finalVolume: { value: 500, unit: 'L' } },
      expectation: { apparentAttenuation: { value: 82, unit: '%' } },
    },
  },
  shortfall: {
    summary: 'An original gravity below the plan, and the sugar that corrects it',
    request: {
      fermentables: [{ kind: 'sucrose', mass: { value: 34, unit: 'kg' } }],
      volume: { value: 200, unit: 'L' },
      expectation: { realAttenuation: { value: 98, unit: '%' } },
      measured: {
        originalGravity: { value: 1.06, scale: 'sg-20-20' },
        volume: { value: 204, unit: 'L' },
        correctWith: 'sucrose',
      },
    },
  },
};
