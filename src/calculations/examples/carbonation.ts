import type { Examples } from '../shared/calculation.decorator.js';

export const carbonationExamples: Examples = {
  pressure: {
    summary: 'Gauge pressure for 2.5 volumes at 4 °C',
    request: {
      temperature: {
        value: 4,
        unit: 'Cel',
      },
      volumesOfCO2: 2.5,
    },
    response: {
      gaugePressure: {
        value: 71.6686835911,
        unit: 'kPa',
      },
      dissolved: {
        value: 4.94175,
        unit: 'g/L',
      },
      volumesOfCO2: 2.5,
      method: {
        id: 'co2-equilibrium',
        version: '1.0.0',
        source: 'Weiss 1974, solubility of CO2 in water',
      },
      warnings: [
        'Computed for pure water. A beer of 12 °P holds less: at this content its gauge pressure stands about 0.07 bar higher.',
        'Closed and warmed to 40 °C, a beer so carbonated stands at about 4.3 bar gauge.',
        'A container bursts above its rated pressure: check the rating of vessel, keg, hose and relief device before gas is turned on.',
        'Glass: use only bottles made for carbonated drinks, uncracked and not refilled past their rating; a warm store raises the pressure.',
        'CO2 collects in closed and low rooms and suffocates without warning: ventilate and monitor where gas is used or a drink ferments.',
        'Local codes and licensed practice decide on pressure equipment and gas; this figure does not.',
      ],
    },
  },
  volumes: {
    summary: 'What 12 psi keep at 38 °F',
    request: {
      temperature: {
        value: 38,
        unit: '[degF]',
      },
      gaugePressure: {
        value: 12,
        unit: '[psi]',
      },
      strength: {
        value: 5,
        unit: '%',
      },
      extract: 4,
    },
    response: {
      gaugePressure: {
        value: 82.737087518,
        unit: 'kPa',
      },
      dissolved: {
        value: 5.38704639916,
        unit: 'g/L',
      },
      volumesOfCO2: 2.72527262567,
      method: {
        id: 'co2-equilibrium',
        version: '1.0.0',
        source: 'Weiss 1974, solubility of CO2 in water',
      },
      warnings: [
        'Computed for pure water. A beer of 12 °P holds less: at this content its gauge pressure stands about 0.08 bar higher.',
        'Strength and extract are not in the figure. Extract lowers the solubility by about 1 % per 3 °P in beer and 1 % per 1 °Bx in sweet drinks.',
        'Closed and warmed to 40 °C, a beer so carbonated stands at about 4.8 bar gauge.',
        'A container bursts above its rated pressure: check the rating of vessel, keg, hose and relief device before gas is turned on.',
        'Glass: use only bottles made for carbonated drinks, uncracked and not refilled past their rating; a warm store raises the pressure.',
        'CO2 collects in closed and low rooms and suffocates without warning: ventilate and monitor where gas is used or a drink ferments.',
        'Local codes and licensed practice decide on pressure equipment and gas; this figure does not.',
      ],
    },
  },
};
