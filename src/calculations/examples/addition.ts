import type { Examples } from '../shared/calculation.decorator.js';

export const additionExamples: Examples = {
  dosePerBottle: {
    summary: '4 mL of an alcoholic flavouring in a bottle of 330 mL',
    request: {
      kind: 'dose',
      base: {
        strength: {
          value: 5,
          unit: '%',
        },
        extract: 0.4,
      },
      addition: {
        strength: {
          value: 60,
          unit: '%',
        },
        extract: 5,
      },
      dose: {
        volume: {
          value: 4,
          unit: 'mL',
        },
        per: 'bottle',
        bottle: {
          value: 330,
          unit: 'mL',
        },
      },
      volume: {
        value: 1000,
        unit: 'L',
      },
      declaredStrength: {
        value: 5.5,
        unit: '%',
      },
    },
    response: {
      base: {
        volume: {
          value: 1000,
          unit: 'L',
        },
        mass: {
          value: 992.608480164,
          unit: 'kg',
        },
        strength: {
          value: 5,
          unit: '%',
        },
        pureAlcohol: {
          value: 50,
          unit: 'L',
        },
        extract: 0.4,
        density: {
          value: 992.608480164,
          unit: 'kg/m3',
        },
      },
      addition: {
        volume: {
          value: 12.2692239245,
          unit: 'L',
        },
        mass: {
          value: 11.4289703276,
          unit: 'kg',
        },
        strength: {
          value: 60,
          unit: '%',
        },
        pureAlcohol: {
          value: 7.36153435471,
          unit: 'L',
        },
        extract: 5,
        density: {
          value: 931.515342612,
          unit: 'kg/m3',
        },
      },
      result: {
        volume: {
          value: 1012.21097377,
          unit: 'L',
        },
        mass: {
          value: 1004.03745049,
          unit: 'kg',
        },
        strength: {
          value: 5.66695440388,
          unit: '%',
        },
        pureAlcohol: {
          value: 57.3615343547,
          unit: 'L',
        },
        extract: 0.452361855109,
        density: {
          value: 991.925079364,
          unit: 'kg/m3',
        },
      },
      strengthChange: {
        value: 0.666954403878,
        unit: '%',
      },
      extractChange: 0.0523618551094,
      volumeChange: {
        value: -0.0582501525408,
        unit: 'L',
      },
      alcoholShareAdded: 0.128335729466,
      label: {
        declaredStrength: {
          value: 5.5,
          unit: '%',
        },
        difference: {
          value: 0.166954403878,
          unit: '%',
        },
      },
      method: {
        id: 'addition-mass-balance',
        version: '1.0.0',
        source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
      },
      warnings: [
        'The vapour of strong spirit ignites: no flame or spark, ventilate; local codes and licensed practice decide on its handling.',
        'Spirit and water warm each other on mixing: gauge the result when it is back near 20 °C, and by measurement for any label.',
        'A label rests on a measured strength; the tolerance that the law allows is not in the difference.',
      ],
    },
  },
  syrup: {
    summary: '60 mL of syrup of 60 °Bx in a litre of finished drink',
    request: {
      kind: 'dose',
      base: {
        strength: {
          value: 5,
          unit: '%',
        },
        extract: 0.4,
      },
      addition: {
        strength: {
          value: 0,
          unit: '%',
        },
        extract: 60,
      },
      dose: {
        volume: {
          value: 60,
          unit: 'mL',
        },
        per: 'litre-of-finished-drink',
      },
    },
    response: {
      base: {
        volume: {
          value: 1,
          unit: 'L',
        },
        mass: {
          value: 0.992608480164,
          unit: 'kg',
        },
        strength: {
          value: 5,
          unit: '%',
        },
        pureAlcohol: {
          value: 0.05,
          unit: 'L',
        },
        extract: 0.4,
        density: {
          value: 992.608480164,
          unit: 'kg/m3',
        },
      },
      addition: {
        volume: {
          value: 0.0637795726873,
          unit: 'L',
        },
        mass: {
          value: 0.0820593936951,
          unit: 'kg',
        },
        strength: {
          value: 0,
          unit: '%',
        },
        pureAlcohol: {
          value: 0,
          unit: 'L',
        },
        extract: 60,
        density: {
          value: 1286.60933646,
          unit: 'kg/m3',
        },
      },
      result: {
        volume: {
          value: 1.06299287812,
          unit: 'L',
        },
        mass: {
          value: 1.07466787386,
          unit: 'kg',
        },
        strength: {
          value: 4.70370037553,
          unit: '%',
        },
        pureAlcohol: {
          value: 0.05,
          unit: 'L',
        },
        extract: 4.95093148609,
        density: {
          value: 1010.98313637,
          unit: 'kg/m3',
        },
      },
      strengthChange: {
        value: -0.296299624474,
        unit: '%',
      },
      extractChange: 4.55093148609,
      volumeChange: {
        value: -0.00078669456605,
        unit: 'L',
      },
      alcoholShareAdded: 0,
      method: {
        id: 'addition-mass-balance',
        version: '1.0.0',
        source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
      },
      warnings: [],
    },
  },
  sugar: {
    summary: '12 kg of sucrose dissolved in 200 L',
    request: {
      kind: 'solids',
      base: {
        strength: {
          value: 8,
          unit: '%',
        },
        extract: 0,
      },
      solid: 'sucrose',
      mass: {
        value: 12,
        unit: 'kg',
      },
      volume: {
        value: 200,
        unit: 'L',
      },
    },
    response: {
      base: {
        volume: {
          value: 200,
          unit: 'L',
        },
        mass: {
          value: 197.432814485,
          unit: 'kg',
        },
        strength: {
          value: 8,
          unit: '%',
        },
        pureAlcohol: {
          value: 16,
          unit: 'L',
        },
        extract: 0,
        density: {
          value: 987.164072423,
          unit: 'kg/m3',
        },
      },
      result: {
        volume: {
          value: 207.30630525,
          unit: 'L',
        },
        mass: {
          value: 209.432814485,
          unit: 'kg',
        },
        strength: {
          value: 7.71804792948,
          unit: '%',
        },
        pureAlcohol: {
          value: 16,
          unit: 'L',
        },
        extract: 5.72976113105,
        density: {
          value: 1010.25781262,
          unit: 'kg/m3',
        },
      },
      strengthChange: {
        value: -0.281952070517,
        unit: '%',
      },
      extractChange: 5.72976113105,
      volumeChange: {
        value: 7.30630524954,
        unit: 'L',
      },
      alcoholShareAdded: 0,
      method: {
        id: 'addition-mass-balance',
        version: '1.0.0',
        source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
      },
      warnings: [],
    },
  },
  fortification: {
    summary: 'A wine of 12 % brought to 18 % with spirit of 96 %',
    request: {
      kind: 'to-strength',
      base: {
        strength: {
          value: 12,
          unit: '%',
        },
        extract: 2.5,
        temperature: {
          value: 15,
          unit: 'Cel',
        },
      },
      addition: {
        strength: {
          value: 96,
          unit: '%',
        },
      },
      targetStrength: {
        value: 18,
        unit: '%',
      },
      volume: {
        value: 225,
        unit: 'L',
      },
    },
    response: {
      base: {
        volume: {
          value: 225.276044435,
          unit: 'L',
        },
        mass: {
          value: 223.520111726,
          unit: 'kg',
        },
        strength: {
          value: 12,
          unit: '%',
        },
        pureAlcohol: {
          value: 27.0331253323,
          unit: 'L',
        },
        extract: 2.5,
        density: {
          value: 992.20541752,
          unit: 'kg/m3',
        },
      },
      addition: {
        volume: {
          value: 17.0000260531,
          unit: 'L',
        },
        mass: {
          value: 13.7261547874,
          unit: 'kg',
        },
        strength: {
          value: 96,
          unit: '%',
        },
        pureAlcohol: {
          value: 16.3200250109,
          unit: 'L',
        },
        extract: 0,
        density: {
          value: 807.419632453,
          unit: 'kg/m3',
        },
      },
      additionVolumeAtTemperature: {
        value: 17.0000260531,
        unit: 'L',
      },
      result: {
        volume: {
          value: 240.85083524,
          unit: 'L',
        },
        mass: {
          value: 237.246266514,
          unit: 'kg',
        },
        strength: {
          value: 18,
          unit: '%',
        },
        pureAlcohol: {
          value: 43.3531503432,
          unit: 'L',
        },
        extract: 2.35535963338,
        density: {
          value: 985.034020237,
          unit: 'kg/m3',
        },
      },
      strengthChange: {
        value: 6,
        unit: '%',
      },
      extractChange: -0.144640366624,
      volumeChange: {
        value: -1.4252352486,
        unit: 'L',
      },
      alcoholShareAdded: 0.37644380816,
      method: {
        id: 'addition-mass-balance',
        version: '1.0.0',
        source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
      },
      warnings: [
        'The vapour of strong spirit ignites: no flame or spark, ventilate; local codes and licensed practice decide on its handling.',
        'Spirit and water warm each other on mixing: gauge the result when it is back near 20 °C, and by measurement for any label.',
      ],
    },
  },
  notWater: {
    summary: 'A strong ferment brought down with a weak one',
    request: {
      kind: 'to-strength',
      base: {
        strength: {
          value: 14,
          unit: '%',
        },
        extract: 0.8,
      },
      addition: {
        strength: {
          value: 0.4,
          unit: '%',
        },
        extract: 6,
        temperature: {
          value: 8,
          unit: 'Cel',
        },
      },
      targetStrength: {
        value: 5,
        unit: '%',
      },
      finalVolume: {
        value: 1000,
        unit: 'L',
      },
    },
    response: {
      base: {
        volume: {
          value: 338.248064823,
          unit: 'L',
        },
        mass: {
          value: 332.572680043,
          unit: 'kg',
        },
        strength: {
          value: 14,
          unit: '%',
        },
        pureAlcohol: {
          value: 47.3547290753,
          unit: 'L',
        },
        extract: 0.8,
        density: {
          value: 983.221235033,
          unit: 'kg/m3',
        },
      },
      addition: {
        volume: {
          value: 661.31773118,
          unit: 'L',
        },
        mass: {
          value: 675.34761057,
          unit: 'kg',
        },
        strength: {
          value: 0.4,
          unit: '%',
        },
        pureAlcohol: {
          value: 2.64527092472,
          unit: 'L',
        },
        extract: 6,
        density: {
          value: 1021.21503587,
          unit: 'kg/m3',
        },
      },
      additionVolumeAtTemperature: {
        value: 660.00571425,
        unit: 'L',
      },
      result: {
        volume: {
          value: 1000,
          unit: 'L',
        },
        mass: {
          value: 1007.92029061,
          unit: 'kg',
        },
        strength: {
          value: 5,
          unit: '%',
        },
        pureAlcohol: {
          value: 50,
          unit: 'L',
        },
        extract: 4.28421160648,
        density: {
          value: 1007.92029061,
          unit: 'kg/m3',
        },
      },
      strengthChange: {
        value: -9,
        unit: '%',
      },
      extractChange: 3.48421160648,
      volumeChange: {
        value: 0.434203996705,
        unit: 'L',
      },
      alcoholShareAdded: 0.0529054184944,
      method: {
        id: 'addition-mass-balance',
        version: '1.0.0',
        source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
      },
      warnings: [],
    },
  },
};
