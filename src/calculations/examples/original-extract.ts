import type { Examples } from '../shared/calculation.decorator.js';

export const originalExtractExamples: Examples = {
  sugarFed: {
    summary: '8 kg of sugar fed while it fermented',
    request: {
      originalGravity: {
        value: 1.06,
        scale: 'sg-20-20',
      },
      standardUncertainty: 0.06,
      additions: [
        {
          vesselMass: {
            value: 210,
            unit: 'kg',
            standardUncertainty: 1,
          },
          alcoholByMass: {
            value: 3.5,
            unit: '%',
          },
          addedMass: {
            value: 8,
            unit: 'kg',
          },
          addedExtract: {
            value: 100,
            unit: '%',
          },
        },
      ],
    },
    response: {
      extract: 17.7543665714,
      standardUncertainty: 0.0595142106858,
      expandedUncertainty: 0.116645709513,
      coverageFactor: 1.95996398454,
      degreesOfFreedom: null,
      budget: [
        {
          name: 'original extract',
          value: 14.7339443925,
          unit: '°P',
          standardUncertainty: 0.06,
          distribution: 'normal',
          degreesOfFreedom: null,
          sensitivity: 0.964576499319,
          contribution: 0.0578745899591,
          share: 0.945658864518,
          origin: 'given/original extract',
        },
        {
          name: 'vessel mass 1',
          value: 210,
          unit: 'kg',
          standardUncertainty: 1,
          distribution: 'normal',
          degreesOfFreedom: null,
          sensitivity: -0.0138734678655,
          contribution: -0.0138734678655,
          share: 0.0543411354822,
          origin: 'given/vessel mass 1',
        },
      ],
      method: {
        id: 'effective-original-extract',
        version: '1.0.0',
        source: 'mass balance; Balling (Nielsen et al. 2007)',
      },
      warnings: [
        'Give it to the mass balance as the original gravity on the plato scale; it stands for recorded additions only.',
      ],
    },
  },
};
