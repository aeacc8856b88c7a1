import type { Examples } from '../shared/calculation.decorator.js';

export const volumeExamples: Examples = {
  cellar: {
    summary: 'A carbonated drink gauged at 4 °C',
    request: {
      liquid: 'drink',
      strength: {
        value: 5,
        unit: '%',
      },
      extract: 3.2,
      temperature: {
        value: 4,
        unit: 'Cel',
      },
      volume: {
        value: 1000,
        unit: 'L',
      },
      dissolvedCO2: {
        value: 5,
        unit: 'g/L',
      },
    },
    response: {
      volume: {
        value: 996.137153764,
        unit: 'L',
      },
      volumeAt20: {
        value: 998.282036964,
        unit: 'L',
      },
      mass: {
        value: 1001.880048,
        unit: 'kg',
      },
      weighedMass: {
        value: 1000.83480863,
        unit: 'kg',
      },
      density: {
        value: 1005.76516418,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 1003.60420292,
        unit: 'kg/m3',
      },
      pureAlcohol: {
        value: 49.9141018482,
        unit: 'L',
      },
      method: {
        id: 'volume-at-20',
        version: '1.0.0',
        source: 'OIML R 22; Tabarié with ICUMSA SPS-4 (1998); air 1.2 kg/m3',
      },
      warnings: [],
    },
  },
  spiritOnAScale: {
    summary: 'Spirit of 96 % on a scale',
    request: {
      liquid: 'alcohol-water',
      strength: {
        value: 96,
        unit: '%',
      },
      temperature: {
        value: 25,
        unit: 'Cel',
      },
      weighedMass: {
        value: 160,
        unit: 'kg',
      },
    },
    response: {
      volume: {
        value: 199.500886743,
        unit: 'L',
      },
      volumeAt20: {
        value: 198.428914315,
        unit: 'L',
      },
      mass: {
        value: 160.215401064,
        unit: 'kg',
      },
      weighedMass: {
        value: 160,
        unit: 'kg',
      },
      density: {
        value: 803.081147556,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 807.419632453,
        unit: 'kg/m3',
      },
      pureAlcohol: {
        value: 190.491757742,
        unit: 'L',
      },
      method: {
        id: 'volume-at-20',
        version: '1.0.0',
        source: 'OIML R 22; Tabarié with ICUMSA SPS-4 (1998); air 1.2 kg/m3',
      },
      warnings: [],
    },
  },
  hotWort: {
    summary: 'Wort of 12 °P at 98 °C',
    request: {
      liquid: 'wort',
      extract: 12,
      temperature: {
        value: 98,
        unit: 'Cel',
      },
      volume: {
        value: 1000,
        unit: 'L',
      },
    },
    response: {
      volume: {
        value: 1000,
        unit: 'L',
      },
      volumeAt20: {
        value: 961.452796198,
        unit: 'L',
      },
      mass: {
        value: 1006.10629709,
        unit: 'kg',
      },
      weighedMass: {
        value: 1005.05705565,
        unit: 'kg',
      },
      density: {
        value: 1006.10629709,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 1046.4437787,
        unit: 'kg/m3',
      },
      pureAlcohol: {
        value: 0,
        unit: 'L',
      },
      method: {
        id: 'volume-at-20',
        version: '1.0.0',
        source: 'OIML R 22; Tabarié with ICUMSA SPS-4 (1998); air 1.2 kg/m3',
      },
      warnings: ['Hot liquid scalds: read it without touching it.'],
    },
  },
  backToVolume: {
    summary: 'What 1,000 L at 20 °C fill at 2 °C',
    request: {
      liquid: 'drink',
      strength: {
        value: 5,
        unit: '%',
      },
      density: {
        value: 1004.2,
        unit: 'kg/m3',
      },
      temperature: {
        value: 2,
        unit: 'Cel',
      },
      volumeAt20: {
        value: 1000,
        unit: 'L',
      },
    },
    response: {
      volume: {
        value: 997.802668919,
        unit: 'L',
      },
      volumeAt20: {
        value: 1000,
        unit: 'L',
      },
      mass: {
        value: 1004.2,
        unit: 'kg',
      },
      weighedMass: {
        value: 1003.15310976,
        unit: 'kg',
      },
      density: {
        value: 1006.41141909,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 1004.2,
        unit: 'kg/m3',
      },
      pureAlcohol: {
        value: 50,
        unit: 'L',
      },
      method: {
        id: 'volume-at-20',
        version: '1.0.0',
        source: 'OIML R 22; Tabarié with ICUMSA SPS-4 (1998); air 1.2 kg/m3',
      },
      warnings: [],
    },
  },
};
