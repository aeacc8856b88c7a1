import type { Examples } from '../shared/calculation.decorator.js';

export const blendExamples: Examples = {
  three: {
    summary: 'Three lots to 100 L of 5 %',
    request: {
      components: [
        {
          name: 'strong',
          strength: {
            value: 12.4,
            unit: '%',
          },
          available: {
            value: 60,
            unit: 'L',
          },
          extract: 0.8,
        },
        {
          name: 'light',
          strength: {
            value: 3.8,
            unit: '%',
          },
          available: {
            value: 200,
            unit: 'L',
          },
          minimum: {
            value: 20,
            unit: 'L',
          },
          extract: 2.1,
        },
        {
          name: 'water',
          strength: {
            value: 0,
            unit: '%',
          },
          available: {
            value: 500,
            unit: 'L',
          },
        },
      ],
      target: {
        volume: {
          value: 100,
          unit: 'L',
        },
        strength: {
          value: 5,
          unit: '%',
        },
      },
    },
    response: {
      draw: [
        {
          name: 'strong',
          volume: {
            value: 13.9585011158,
            unit: 'L',
          },
          mass: {
            value: 13.7495275776,
            unit: 'kg',
          },
          pureAlcohol: {
            value: 1.73085413836,
            unit: 'L',
          },
        },
        {
          name: 'light',
          volume: {
            value: 86.0301542536,
            unit: 'L',
          },
          mass: {
            value: 86.1059464557,
            unit: 'kg',
          },
          pureAlcohol: {
            value: 3.26914586164,
            unit: 'L',
          },
        },
        {
          name: 'water',
          volume: {
            value: 0,
            unit: 'L',
          },
          mass: {
            value: 0,
            unit: 'kg',
          },
          pureAlcohol: {
            value: 0,
            unit: 'L',
          },
        },
      ],
      volume: {
        value: 100,
        unit: 'L',
      },
      volumeChange: {
        value: 0.0113446305494,
        unit: 'L',
      },
      strength: {
        value: 5,
        unit: '%',
      },
      objective: 'least sum of strength squared times volume: nearest to the target first, the strongest spared',
      method: {
        id: 'blend-linear-program',
        version: '1.0.0',
        source: 'OIML R 22 (1975), Tabarié with ICUMSA SPS-4 (1998); linear program in mass, solver HiGHS',
      },
      warnings: [],
    },
  },
};
