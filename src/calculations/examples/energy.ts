import type { Examples } from '../shared/calculation.decorator.js';

export const energyExamples: Examples = {
  fromExtract: {
    summary: 'A drink of 5 % with 3.2 °P',
    request: {
      strength: {
        value: 5,
        unit: '%',
      },
      extract: 3.2,
    },
    response: {
      kilojoules: {
        value: 169.035741517,
        unit: 'kJ/dL',
      },
      kilocalories: {
        value: 40.4695031129,
        unit: 'kcal/dL',
      },
      alcohol: {
        value: 3.9461956165,
        unit: 'g/dL',
      },
      carbohydrate: {
        value: 3.21153344935,
        unit: 'g/dL',
      },
      method: {
        id: 'energy-eu-1169',
        version: '1.0.0',
        source: 'Regulation (EU) 1169/2011, Annex XIV',
      },
      warnings: ['The whole real extract is counted as carbohydrate; for a label have the carbohydrate analysed.'],
    },
  },
  fromAnalysis: {
    summary: 'The same with analysed carbohydrate',
    request: {
      strength: {
        value: 5,
        unit: '%',
      },
      carbohydrate: {
        value: 28,
        unit: 'g/L',
      },
    },
    response: {
      kilojoules: {
        value: 162.039672878,
        unit: 'kJ/dL',
      },
      kilocalories: {
        value: 38.8233693155,
        unit: 'kcal/dL',
      },
      alcohol: {
        value: 3.9461956165,
        unit: 'g/dL',
      },
      carbohydrate: {
        value: 2.8,
        unit: 'g/dL',
      },
      method: {
        id: 'energy-eu-1169',
        version: '1.0.0',
        source: 'Regulation (EU) 1169/2011, Annex XIV',
      },
      warnings: [],
    },
  },
};
