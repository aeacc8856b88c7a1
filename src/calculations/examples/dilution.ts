import type { Examples } from '../shared/calculation.decorator.js';

export const dilutionExamples: Examples = {
  neutralSpirit: {
    summary: 'Water for 200 L of 5 % from spirit of 96 %',
    request: {
      strength: {
        value: 96,
        unit: '%',
      },
      targetStrength: {
        value: 5,
        unit: '%',
      },
      finalVolume: {
        value: 200,
        unit: 'L',
      },
    },
    response: {
      waterMass: {
        value: 189.800413284,
        unit: 'kg',
      },
      waterVolume: {
        value: 190.142435793,
        unit: 'L',
      },
      waterVolumeAtTemperature: {
        value: 190.142435793,
        unit: 'L',
      },
      volume: {
        value: 10.4166666667,
        unit: 'L',
      },
      volumeAtTemperature: {
        value: 10.4166666667,
        unit: 'L',
      },
      finalVolume: {
        value: 200,
        unit: 'L',
      },
      volumeChange: {
        value: -0.559102459471,
        unit: 'L',
      },
      pureAlcohol: {
        value: 10,
        unit: 'L',
      },
      method: {
        id: 'dilution-mass-balance',
        version: '1.0.0',
        source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
      },
      warnings: [
        'The vapour of strong spirit ignites: no flame or spark, ventilate; local codes and licensed practice decide on its handling.',
        'Spirit and water warm each other on mixing: gauge the result when it is back near 20 °C, and by measurement for any label.',
      ],
    },
  },
  strongFerment: {
    summary: 'A strong ferment brought down, read cool',
    request: {
      strength: {
        value: 14,
        unit: '%',
      },
      targetStrength: {
        value: 5,
        unit: '%',
      },
      volume: {
        value: 100,
        unit: 'L',
      },
      temperature: {
        value: 12,
        unit: 'Cel',
      },
      waterTemperature: {
        value: 10,
        unit: 'Cel',
      },
      extract: 1.2,
    },
    response: {
      waterMass: {
        value: 179.831594091,
        unit: 'kg',
      },
      waterVolume: {
        value: 180.155652674,
        unit: 'L',
      },
      waterVolumeAtTemperature: {
        value: 179.886385069,
        unit: 'L',
      },
      volume: {
        value: 100.19699857,
        unit: 'L',
      },
      volumeAtTemperature: {
        value: 100,
        unit: 'L',
      },
      finalVolume: {
        value: 280.551595997,
        unit: 'L',
      },
      volumeChange: {
        value: 0.198944752454,
        unit: 'L',
      },
      pureAlcohol: {
        value: 14.0275797999,
        unit: 'L',
      },
      method: {
        id: 'dilution-mass-balance',
        version: '1.0.0',
        source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
      },
      warnings: [],
    },
  },
};
