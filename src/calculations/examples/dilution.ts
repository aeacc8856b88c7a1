import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const dilutionExamples: RequestExamples = {
  neutralSpirit: {
    summary: 'Water for 200 L of 5 % from spirit of 96 %',
    request: {
      strength: { value: 96, unit: '%' },
      targetStrength: { value: 5, unit: '%' },
      finalVolume: { value: 200, unit: 'L' },
    },
  },
  strongFerment: {
    summary: 'A strong ferment brought down, read cool',
    request: {
      strength: { value: 14, unit: '%' },
      targetStrength: { value: 5, unit: '%' },
      volume: { value: 100, unit: 'L' },
      temperature: { value: 12, unit: 'Cel' },
      waterTemperature: { value: 10, unit: 'Cel' },
      extract: 1.2,
    },
  },
};
