import type { Examples } from '../shared/calculation.decorator.js';

export const extractExamples: Examples = {
  wort: {
    summary: 'Wort on the 20/20 scale',
    request: {
      gravity: {
        value: 1.048,
        scale: 'sg-20-20',
      },
    },
    response: {
      specificGravity20: 1.048,
      extract: 11.9082936631,
      density: {
        value: 1046.05927263,
        unit: 'kg/m3',
      },
      method: {
        id: 'sucrose-extract',
        version: '1.0.0',
        source: 'ICUMSA SPS-4 (1998), water by Kell; SG in air of 1.2 kg/m3',
      },
      warnings: [],
    },
  },
  plato: {
    summary: 'From °P',
    request: {
      gravity: {
        value: 12,
        scale: 'plato',
      },
    },
    response: {
      specificGravity20: 1.04838566185,
      extract: 12,
      density: {
        value: 1046.4437787,
        unit: 'kg/m3',
      },
      method: {
        id: 'sucrose-extract',
        version: '1.0.0',
        source: 'ICUMSA SPS-4 (1998), water by Kell; SG in air of 1.2 kg/m3',
      },
      warnings: [],
    },
  },
  dry: {
    summary: 'A dry ferment reads under water',
    request: {
      gravity: {
        value: 0.99,
        scale: 'sg-20-20',
      },
    },
    response: {
      specificGravity20: 0.99,
      extract: -2.61222666212,
      density: {
        value: 988.23309151,
        unit: 'kg/m3',
      },
      method: {
        id: 'sucrose-extract',
        version: '1.0.0',
        source: 'ICUMSA SPS-4 (1998), water by Kell; SG in air of 1.2 kg/m3',
      },
      warnings: [
        'Below 0 °P the sucrose formula is continued: a convention, as no sugar solution is lighter than water.',
      ],
    },
  },
};
