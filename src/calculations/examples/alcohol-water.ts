import type { Examples } from '../shared/calculation.decorator.js';

export const alcoholWaterExamples: Examples = {
  density: {
    summary: 'Density of a distillate at 20 °C',
    request: {
      temperature: {
        value: 20,
        unit: 'Cel',
      },
      density: {
        value: 948.05,
        unit: 'kg/m3',
      },
    },
    response: {
      density: {
        value: 948.05,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 948.05,
        unit: 'kg/m3',
      },
      volumeFraction: {
        value: 39.9969799934,
        unit: '%',
      },
      massFraction: {
        value: 33.2969584142,
        unit: '%',
      },
      method: {
        id: 'ethanol-water-density',
        version: '1.0.0',
        source: 'OIML R 22 (1975), general formula and its inverse',
      },
      warnings: [],
    },
  },
  volumeFraction: {
    summary: 'Density at 15 °C of spirit of 96 % vol',
    request: {
      temperature: {
        value: 15,
        unit: 'Cel',
      },
      volumeFraction: {
        value: 96,
        unit: '%',
      },
    },
    response: {
      density: {
        value: 811.734126191,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 807.419632453,
        unit: 'kg/m3',
      },
      volumeFraction: {
        value: 96,
        unit: '%',
      },
      massFraction: {
        value: 93.8383868703,
        unit: '%',
      },
      method: {
        id: 'ethanol-water-density',
        version: '1.0.0',
        source: 'OIML R 22 (1975), general formula and its inverse',
      },
      warnings: [],
    },
  },
  massFraction: {
    summary: 'Strength by volume of 40 % by mass, at 68 °F',
    request: {
      temperature: {
        value: 68,
        unit: '[degF]',
      },
      massFraction: {
        value: 40,
        unit: '%',
      },
    },
    response: {
      density: {
        value: 935.145033148,
        unit: 'kg/m3',
      },
      densityAt20: {
        value: 935.145033148,
        unit: 'kg/m3',
      },
      volumeFraction: {
        value: 47.3947631607,
        unit: '%',
      },
      massFraction: {
        value: 40,
        unit: '%',
      },
      method: {
        id: 'ethanol-water-density',
        version: '1.0.0',
        source: 'OIML R 22 (1975), general formula and its inverse',
      },
      warnings: [],
    },
  },
};
