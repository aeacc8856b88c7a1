import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const conditioningExamples: RequestExamples = {
  sucroseInBottle: {
    summary: '500 L to 2.6 volumes with sucrose',
    request: {
      volume: { value: 500, unit: 'L' },
      strength: { value: 5, unit: '%' },
      extract: 3.2,
      sugar: 'sucrose',
      volumesOfCO2: 2.6,
      highestTemperature: { value: 20, unit: 'Cel' },
    },
  },
  dextroseInKeg: {
    summary: 'Dextrose monohydrate, high up, never warmer than 12 °C',
    request: {
      volume: { value: 50, unit: 'L' },
      strength: { value: 4.5, unit: '%' },
      extract: 2.8,
      sugar: 'dextrose-monohydrate',
      volumesOfCO2: 1.8,
      highestTemperature: { value: 12, unit: 'Cel' },
      atmosphericPressure: { value: 90, unit: 'kPa' },
    },
  },
};
