import type { Examples } from '../shared/calculation.decorator.js';

export const hydrometerCorrectionExamples: Examples = {
  wort: {
    summary: 'A sugar solution read warm',
    request: {
      reading: {
        value: 1.048,
        scale: 'sg-20-20',
      },
      sampleTemperature: {
        value: 28,
        unit: 'Cel',
      },
      liquid: 'sugar-solution',
    },
    response: {
      gravityAt20: {
        value: 1.05019227534,
        scale: 'sg-20-20',
      },
      density: {
        value: 1045.85006077,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 1048.24497799,
        unit: 'kg/m3',
      },
      method: {
        id: 'hydrometer-correction',
        version: '1.0.0',
        source: 'ISO 1768 (glass 25e-6/K), ICUMSA SPS-4, OIML R 22, Tabarié',
      },
      warnings: [],
    },
  },
  spirit: {
    summary: 'Alcohol and water on a density scale',
    request: {
      reading: {
        value: 950,
        scale: 'density-kg-m3',
      },
      sampleTemperature: {
        value: 12,
        unit: 'Cel',
      },
      liquid: 'alcohol-water',
    },
    response: {
      gravityAt20: {
        value: 944.794097111,
        scale: 'density-kg-m3',
      },
      density: {
        value: 950.19,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 944.794097111,
        unit: 'kg/m3',
      },
      method: {
        id: 'hydrometer-correction',
        version: '1.0.0',
        source: 'ISO 1768 (glass 25e-6/K), ICUMSA SPS-4, OIML R 22, Tabarié',
      },
      warnings: [],
    },
  },
  drink: {
    summary: 'A finished drink',
    request: {
      reading: {
        value: 1.0102,
        scale: 'sg-20-20',
      },
      sampleTemperature: {
        value: 6,
        unit: 'Cel',
      },
      liquid: 'finished-drink',
      strength: {
        value: 5,
        unit: '%',
      },
      extract: 4.4,
    },
    response: {
      gravityAt20: {
        value: 1.00838983322,
        scale: 'sg-20-20',
      },
      density: {
        value: 1008.72548498,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 1006.56781266,
        unit: 'kg/m3',
      },
      method: {
        id: 'hydrometer-correction',
        version: '1.0.0',
        source: 'ISO 1768 (glass 25e-6/K), ICUMSA SPS-4, OIML R 22, Tabarié',
      },
      warnings: [],
    },
  },
};
