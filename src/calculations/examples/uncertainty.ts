import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const uncertaintyExamples: RequestExamples = {
  dominantRectangular: {
    summary: 'JCGM 101, 9.2.4: one rectangular input dominates',
    request: {
      inputs: [
        { name: 'X1', value: 0, standardUncertainty: 1, distribution: 'rectangular', sensitivity: 1 },
        { name: 'X2', value: 0, standardUncertainty: 1, distribution: 'rectangular', sensitivity: 1 },
        { name: 'X3', value: 0, standardUncertainty: 1, distribution: 'rectangular', sensitivity: 1 },
        { name: 'X4', value: 0, standardUncertainty: 10, distribution: 'rectangular', sensitivity: 1 },
      ],
      monteCarlo: { seed: 1, draws: 20000, significantDigits: 2 },
    },
  },
  correlated: {
    summary: 'Two correlated inputs with few readings: k = 4.60 at 99 % (JCGM 100, table G.2)',
    request: {
      inputs: [
        { name: 'voltage', value: 4.999, unit: 'V', standardUncertainty: 0.0032, degreesOfFreedom: 4, sensitivity: 1 },
        { name: 'reference', value: 5, unit: 'V', standardUncertainty: 0.002, sensitivity: -1 },
      ],
      value: -0.001,
      correlation: [
        [1, 0.6],
        [0.6, 1],
      ],
      coverageProbability: 0.99,
    },
  },
  sharedOrigin: {
    summary: 'One shared error cancels in a difference',
    request: {
      inputs: [
        { name: 'gross', value: 152.4, unit: 'kg', standardUncertainty: 0.1, origin: 'scale-2', sensitivity: 1 },
        { name: 'tare', value: 12.1, unit: 'kg', standardUncertainty: 0.1, origin: 'scale-2', sensitivity: -1 },
        {
          name: 'reading',
          value: 0,
          unit: 'kg',
          standardUncertainty: 0.029,
          distribution: 'rectangular',
          sensitivity: 1,
        },
      ],
    },
  },
};
