import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const hydrometerCorrectionExamples: RequestExamples = {
  wort: {
    summary: 'A sugar solution read warm',
    request: {
      reading: { value: 1.048, scale: 'sg-20-20' },
      sampleTemperature: { value: 28, unit: 'Cel' },
      liquid: 'sugar-solution',
    },
  },
  spirit: {
    summary: 'Alcohol and water on a density scale',
    request: {
      reading: { value: 950, scale: 'density-kg-m3' },
      sampleTemperature: { value: 12, unit: 'Cel' },
      liquid: 'alcohol-water',
    },
  },
  drink: {
    summary: 'A finished drink',
    request: {
      reading: { value: 1.0102, scale: 'sg-20-20' },
      sampleTemperature: { value: 6, unit: 'Cel' },
      liquid: 'finished-drink',
      strength: { value: 5, unit: '%' },
      extract: 4.4,
    },
  },
};
