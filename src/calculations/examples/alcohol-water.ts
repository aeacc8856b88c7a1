import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const alcoholWaterExamples: RequestExamples = {
  density: {
    summary: 'Density of a distillate at 20 °C',
    request: {
      temperature: { value: 20, unit: 'Cel' },
      density: { value: 948.05, unit: 'kg/m3' },
    },
  },
  volumeFraction: {
    summary: 'Density at 15 °C of spirit of 96 % vol',
    request: {
      temperature: { value: 15, unit: 'Cel' },
      volumeFraction: { value: 96, unit: '%' },
    },
  },
  massFraction: {
    summary: 'Strength by volume of 40 % by mass, at 68 °F',
    request: {
      temperature: { value: 68, unit: '[degF]' },
      massFraction: { value: 40, unit: '%' },
    },
  },
};
