import type { Examples } from '../shared/calculation.decorator.js';

export const planExamples: Examples = {
  sugarWash: {
    summary: 'A sugar wash from dextrose monohydrate, forwards',
    request: {
      fermentables: [
        {
          kind: 'dextrose-monohydrate',
          mass: {
            value: 36,
            unit: 'kg',
          },
        },
      ],
      volume: {
        value: 200,
        unit: 'L',
      },
      expectation: {
        finalGravity: {
          value: 0.994,
          scale: 'sg-20-20',
        },
      },
    },
    response: {
      fermentables: [
        {
          kind: 'dextrose-monohydrate',
          mass: {
            value: 36,
            unit: 'kg',
          },
        },
      ],
      waterMass: {
        value: 176.009826532,
        unit: 'kg',
      },
      volume: {
        value: 200,
        unit: 'L',
      },
      original: {
        specificGravity20: 1.06203381038,
        extract: 15.2072312165,
      },
      final: {
        specificGravity20: 0.994,
        extract: -1.56159055622,
      },
      realExtract: 1.60166277741,
      apparentAttenuation: {
        value: 110.268736853,
        unit: '%',
      },
      strength: {
        value: 8.98208078135,
        unit: '%',
      },
      alcoholByMass: {
        value: 7.14460018594,
        unit: '%',
      },
      finalVolume: {
        value: 198.543885654,
        unit: 'L',
      },
      volumeChange: {
        value: -1.45611434576,
        unit: 'L',
      },
      pureAlcohol: {
        value: 17.8333721959,
        unit: 'L',
      },
      carbonDioxide: {
        value: 13.4625414532,
        unit: 'kg',
      },
      yeastDryMatter: {
        value: 1.54822745411,
        unit: 'kg',
      },
      method: {
        id: 'plan-mass-balance',
        version: '1.0.0',
        source: 'Balling mass balance (Nielsen et al. 2007), Tabarié, OIML R 22, ICUMSA SPS-4, CRC dextrose rows',
      },
      warnings: [
        'Fermentation sets 13 kg of CO2 free: it collects in closed and low rooms and suffocates without warning. Ventilate and never seal the vessel; local codes and licensed practice decide.',
      ],
    },
  },
  backwards: {
    summary: 'Malt and sucrose for 500 L of 6.5 %, as proportions',
    request: {
      fermentables: [
        {
          kind: 'malt',
          mass: {
            value: 9,
            unit: 'kg',
          },
          extractYield: {
            value: 62,
            unit: '%',
          },
        },
        {
          kind: 'sucrose',
          mass: {
            value: 1,
            unit: 'kg',
          },
        },
      ],
      wanted: {
        strength: {
          value: 6.5,
          unit: '%',
        },
        finalVolume: {
          value: 500,
          unit: 'L',
        },
      },
      expectation: {
        apparentAttenuation: {
          value: 82,
          unit: '%',
        },
      },
    },
    response: {
      fermentables: [
        {
          kind: 'malt',
          mass: {
            value: 106.27628838,
            unit: 'kg',
          },
        },
        {
          kind: 'sucrose',
          mass: {
            value: 11.8084764867,
            unit: 'kg',
          },
        },
      ],
      waterMass: {
        value: 453.871182233,
        unit: 'kg',
      },
      volume: {
        value: 502.657411854,
        unit: 'L',
      },
      original: {
        specificGravity20: 1.05949845492,
        extract: 14.616982948,
      },
      final: {
        specificGravity20: 1.01025940207,
        extract: 2.63105693065,
      },
      realExtract: 4.89738562733,
      apparentAttenuation: {
        value: 82,
        unit: '%',
      },
      strength: {
        value: 6.5,
        unit: '%',
      },
      alcoholByMass: {
        value: 5.08717003844,
        unit: '%',
      },
      finalVolume: {
        value: 500,
        unit: 'L',
      },
      volumeChange: {
        value: -2.65741185355,
        unit: 'L',
      },
      pureAlcohol: {
        value: 32.5,
        unit: 'L',
      },
      carbonDioxide: {
        value: 24.5344846967,
        unit: 'kg',
      },
      yeastDryMatter: {
        value: 2.8215298658,
        unit: 'kg',
      },
      method: {
        id: 'plan-mass-balance',
        version: '1.0.0',
        source: 'Balling mass balance (Nielsen et al. 2007), Tabarié, OIML R 22, ICUMSA SPS-4, CRC dextrose rows',
      },
      warnings: [
        'Fermentation sets 25 kg of CO2 free: it collects in closed and low rooms and suffocates without warning. Ventilate and never seal the vessel; local codes and licensed practice decide.',
      ],
    },
  },
  shortfall: {
    summary: 'An original gravity short of the plan, and the sugar that mends it',
    request: {
      fermentables: [
        {
          kind: 'sucrose',
          mass: {
            value: 34,
            unit: 'kg',
          },
        },
      ],
      volume: {
        value: 200,
        unit: 'L',
      },
      expectation: {
        realAttenuation: {
          value: 98,
          unit: '%',
        },
      },
      measured: {
        originalGravity: {
          value: 1.06,
          scale: 'sg-20-20',
        },
        volume: {
          value: 204,
          unit: 'L',
        },
        correctWith: 'sucrose',
      },
    },
    response: {
      fermentables: [
        {
          kind: 'sucrose',
          mass: {
            value: 34,
            unit: 'kg',
          },
        },
      ],
      waterMass: {
        value: 178.680469496,
        unit: 'kg',
      },
      volume: {
        value: 200,
        unit: 'L',
      },
      original: {
        specificGravity20: 1.06539710458,
        extract: 15.9863947848,
      },
      final: {
        specificGravity20: 0.987338153128,
        extract: -3.31568514536,
      },
      realExtract: 0.319727895696,
      apparentAttenuation: {
        value: 120.740668487,
        unit: '%',
      },
      strength: {
        value: 10.3185627079,
        unit: '%',
      },
      alcoholByMass: {
        value: 8.26298773788,
        unit: '%',
      },
      finalVolume: {
        value: 198.316208582,
        unit: 'L',
      },
      volumeChange: {
        value: -1.68379141766,
        unit: 'L',
      },
      pureAlcohol: {
        value: 20.4633823426,
        unit: 'L',
      },
      carbonDioxide: {
        value: 15.4479551054,
        unit: 'kg',
      },
      yeastDryMatter: {
        value: 1.77655521338,
        unit: 'kg',
      },
      shortfall: {
        extract: 14.7339443925,
        plannedStrength: {
          value: 10.3185627079,
          unit: '%',
        },
        expectedStrength: {
          value: 9.45266914381,
          unit: '%',
        },
        strengthChange: {
          value: -0.865893564129,
          unit: '%',
        },
        sugarMass: {
          value: 3.21763157413,
          unit: 'kg',
        },
        waterMass: {
          value: 0,
          unit: 'kg',
        },
        volumeAfter: {
          value: 205.993523958,
          unit: 'L',
        },
      },
      method: {
        id: 'plan-mass-balance',
        version: '1.0.0',
        source: 'Balling mass balance (Nielsen et al. 2007), Tabarié, OIML R 22, ICUMSA SPS-4, CRC dextrose rows',
      },
      warnings: [
        'Fermentation sets 15 kg of CO2 free: it collects in closed and low rooms and suffocates without warning. Ventilate and never seal the vessel; local codes and licensed practice decide.',
      ],
    },
  },
};
