import type { Examples } from '../shared/calculation.decorator.js';

export const mixtureExamples: Examples = {
  twoTanks: {
    summary: 'Two tanks of one hydrometer into a third',
    request: {
      components: [
        {
          name: 'tank 4',
          volume: {
            value: 120,
            unit: 'L',
          },
          strength: {
            value: 6.2,
            unit: '%',
          },
          extract: 3.1,
          strengthStandardUncertainty: {
            value: 0.1,
            unit: '%',
          },
          volumeStandardUncertainty: {
            value: 0.6,
            unit: 'L',
          },
          strengthOrigin: 'hydrometer-7',
        },
        {
          name: 'tank 5',
          volume: {
            value: 80,
            unit: 'L',
          },
          strength: {
            value: 4.4,
            unit: '%',
          },
          extract: 2.6,
          strengthStandardUncertainty: {
            value: 0.1,
            unit: '%',
          },
          volumeStandardUncertainty: {
            value: 0.4,
            unit: 'L',
          },
          strengthOrigin: 'hydrometer-7',
        },
      ],
    },
    response: {
      strength: {
        value: 5.479924446,
        unit: '%',
      },
      uncertainty: {
        standard: {
          value: 0.100045588104,
          unit: '%',
        },
        expanded: {
          value: 0.196085749497,
          unit: '%',
        },
        coverageFactor: 1.95996398454,
        degreesOfFreedom: null,
      },
      budget: [
        {
          name: 'strength/hydrometer-7',
          value: 0,
          unit: '%',
          standardUncertainty: 0.0999989404086,
          distribution: 'normal',
          degreesOfFreedom: null,
          sensitivity: 1,
          contribution: 0.0999989404086,
          share: 0.999067688609,
          origin: 'strength/hydrometer-7',
        },
        {
          name: 'volume/component 1',
          value: 0,
          unit: '%',
          standardUncertainty: 0.00216004818341,
          distribution: 'normal',
          degreesOfFreedom: null,
          sensitivity: 1,
          contribution: 0.00216004818341,
          share: 0.000466155695497,
          origin: 'volume/component 1',
        },
        {
          name: 'volume/component 2',
          value: 0,
          unit: '%',
          standardUncertainty: 0.00216004818341,
          distribution: 'normal',
          degreesOfFreedom: null,
          sensitivity: -1,
          contribution: -0.00216004818341,
          share: 0.000466155695497,
          origin: 'volume/component 2',
        },
      ],
      realExtract: 2.8999523509,
      method: {
        id: 'mixture',
        version: '1.0.0',
        source: 'conservation of mass and alcohol; pure alcohol over volume at 20 °C',
      },
      warnings: [],
      result: {
        volume: {
          value: 200.002757483,
          unit: 'L',
        },
        mass: {
          value: 200.359011112,
          unit: 'kg',
        },
        strength: {
          value: 5.479924446,
          unit: '%',
        },
        pureAlcohol: {
          value: 10.96,
          unit: 'L',
        },
        extract: 2.8999523509,
        density: {
          value: 1001.78124359,
          unit: 'kg/m3',
        },
      },
      volumeChange: {
        value: 0.00275748310187,
        unit: 'L',
      },
    },
  },
};
