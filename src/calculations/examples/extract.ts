import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const extractExamples: RequestExamples = {
  wort: {
    summary: 'Wort on the 20/20 scale',
    request: {
      gravity: { value: 1.048, scale: 'sg-20-20' },
    },
  },
  plato: {
    summary: 'From °P',
    request: {
      gravity: { value: 12, scale: 'plato' },
    },
  },
  dry: {
    summary: 'A dry ferment reads below 1.000',
    request: {
      gravity: { value: 0.99, scale: 'sg-20-20' },
    },
  },
};
