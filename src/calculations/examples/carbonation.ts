import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const carbonationExamples: RequestExamples = {
  pressure: {
    summary: 'Gauge pressure for 2.5 volumes at 4 °C',
    request: {
      temperature: { value: 4, unit: 'Cel' },
      volumesOfCO2: 2.5,
    },
  },
  timed: {
    summary: '30 psi set at 38 °F for 2.5 volumes, and when it must come down',
    request: {
      temperature: { value: 38, unit: '[degF]' },
      volumesOfCO2: 2.5,
      timed: { gaugePressure: { value: 30, unit: '[psi]' } },
    },
  },
  volumes: {
    summary: 'What 12 psi keep at 38 °F',
    request: {
      temperature: { value: 38, unit: '[degF]' },
      gaugePressure: { value: 12, unit: '[psi]' },
      strength: { value: 5, unit: '%' },
      extract: 4,
    },
  },
};
