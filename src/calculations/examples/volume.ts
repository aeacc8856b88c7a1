import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const volumeExamples: RequestExamples = {
  cellar: {
    summary: 'A carbonated drink gauged at 4 °C',
    request: {
      liquid: 'drink',
      strength: { value: 5, unit: '%' },
      extract: 3.2,
      temperature: { value: 4, unit: 'Cel' },
      volume: { value: 1000, unit: 'L' },
      dissolvedCO2: { value: 5, unit: 'g/L' },
    },
  },
  spiritOnAScale: {
    summary: 'Spirit of 96 % on a scale',
    request: {
      liquid: 'alcohol-water',
      strength: { value: 96, unit: '%' },
      temperature: { value: 25, unit: 'Cel' },
      weighedMass: { value: 160, unit: 'kg' },
    },
  },
  hotWort: {
    summary: 'Wort of 12 °P at 98 °C',
    request: {
      liquid: 'wort',
      extract: 12,
      temperature: { value: 98, unit: 'Cel' },
      volume: { value: 1000, unit: 'L' },
    },
  },
  backToVolume: {
    summary: 'What 1,000 L at 20 °C fill at 2 °C',
    request: {
      liquid: 'drink',
      strength: { value: 5, unit: '%' },
      density: { value: 1004.2, unit: 'kg/m3' },
      temperature: { value: 2, unit: 'Cel' },
      volumeAt20: { value: 1000, unit: 'L' },
    },
  },
};
