import type { Examples } from '../shared/calculation.decorator.js';

export const conditioningExamples: Examples = {
  sucroseInBottle: {
    summary: '500 L to 2.6 volumes with sucrose',
    request: {
      volume: {
        value: 500,
        unit: 'L',
      },
      strength: {
        value: 5,
        unit: '%',
      },
      extract: 3.2,
      sugar: 'sucrose',
      volumesOfCO2: 2.6,
      highestTemperature: {
        value: 20,
        unit: 'Cel',
      },
    },
    response: {
      sugarMass: {
        value: 3.33296630263,
        unit: 'kg',
      },
      sugarConcentration: {
        value: 6.66593260527,
        unit: 'g/L',
      },
      residualVolumesOfCO2: 0.865722638444,
      residual: {
        value: 1.71127393941,
        unit: 'g/L',
      },
      fromSugar: {
        value: 3.42814606059,
        unit: 'g/L',
      },
      pureAlcoholAdded: {
        value: 2.2734635787,
        unit: 'L',
      },
      strengthAdded: {
        value: 0.433825620858,
        unit: '%',
      },
      strengthAfter: {
        value: 5.43382562086,
        unit: '%',
      },
      volumeChange: {
        value: 1.92011083321,
        unit: 'L',
      },
      method: {
        id: 'conditioning-sugar',
        version: '1.0.0',
        source: 'Weiss, Marine Chemistry 2 (1974) 203; stoichiometry of alcoholic fermentation',
      },
      warnings: [
        'Only a drink that has finished fermenting may be conditioned: sugar still in it adds to the pressure. Weigh the sugar and mix it in evenly.',
        'A container bursts above its rated pressure: check the rating of vessel, keg, hose and relief device before gas is turned on.',
        'Glass: use only bottles made for carbonated drinks, uncracked and not refilled past their rating; a warm store raises the pressure.',
        'CO2 collects in closed and low rooms and suffocates without warning: ventilate and monitor where gas is used or a drink ferments.',
        'Local codes and licensed practice decide on pressure equipment and gas; this figure does not.',
      ],
    },
  },
  dextroseInKeg: {
    summary: 'Dextrose monohydrate, high up, never warmer than 12 °C',
    request: {
      volume: {
        value: 50,
        unit: 'L',
      },
      strength: {
        value: 4.5,
        unit: '%',
      },
      extract: 2.8,
      sugar: 'dextrose-monohydrate',
      volumesOfCO2: 1.8,
      highestTemperature: {
        value: 12,
        unit: 'Cel',
      },
      atmosphericPressure: {
        value: 90,
        unit: 'kPa',
      },
    },
    response: {
      sugarMass: {
        value: 0.180940439109,
        unit: 'kg',
      },
      sugarConcentration: {
        value: 3.61880878218,
        unit: 'g/L',
      },
      residualVolumesOfCO2: 0.986876957373,
      residual: {
        value: 1.95075968164,
        unit: 'g/L',
      },
      fromSugar: {
        value: 1.60730031836,
        unit: 'g/L',
      },
      pureAlcoholAdded: {
        value: 0.106592270844,
        unit: 'L',
      },
      strengthAdded: {
        value: 0.20237022972,
        unit: '%',
      },
      strengthAfter: {
        value: 4.70237022972,
        unit: '%',
      },
      volumeChange: {
        value: 0.11498788312,
        unit: 'L',
      },
      method: {
        id: 'conditioning-sugar',
        version: '1.0.0',
        source: 'Weiss, Marine Chemistry 2 (1974) 203; stoichiometry of alcoholic fermentation',
      },
      warnings: [
        'Only a drink that has finished fermenting may be conditioned: sugar still in it adds to the pressure. Weigh the sugar and mix it in evenly.',
        'A container bursts above its rated pressure: check the rating of vessel, keg, hose and relief device before gas is turned on.',
        'Glass: use only bottles made for carbonated drinks, uncracked and not refilled past their rating; a warm store raises the pressure.',
        'CO2 collects in closed and low rooms and suffocates without warning: ventilate and monitor where gas is used or a drink ferments.',
        'Local codes and licensed practice decide on pressure equipment and gas; this figure does not.',
      ],
    },
  },
};
