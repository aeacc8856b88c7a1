import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const energyExamples: RequestExamples = {
  fromExtract: {
    summary: 'A drink of 5 % with 3.2 °P (Regulation (EU) 1169/2011, Annex XIV)',
    request: {
      strength: { value: 5, unit: '%' },
      extract: 3.2,
    },
  },
  fromAnalysis: {
    summary: 'The same with analysed carbohydrate',
    request: {
      strength: { value: 5, unit: '%' },
      carbohydrate: { value: 28, unit: 'g/L' },
    },
  },
};
