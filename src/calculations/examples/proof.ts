import type { Examples } from '../shared/calculation.decorator.js';

export const proofExamples: Examples = {
  gaugedByWeight: {
    summary: '27 CFR 30.64: 81,000 lb of 190 proof',
    request: {
      proof: 190,
      weight: {
        value: 81000,
        unit: '[lb_av]',
      },
    },
    response: {
      strength: {
        value: 95.00704773,
        unit: '%',
      },
      strengthAt60F: {
        value: 95,
        unit: '%',
      },
      proof: 190,
      massFraction: {
        value: 92.4175781056,
        unit: '%',
      },
      densityAt60F: {
        value: 815.192211285,
        unit: 'kg/m3',
      },
      wineGallonsPerPound: 0.147186240472,
      proofGallonsPerPound: 0.279653856897,
      wineGallons: {
        value: 11922.0854783,
        unit: '[gal_us]',
      },
      proofGallons: 22651.9624087,
      volumeAt20: {
        value: 45343.5519679,
        unit: 'L',
      },
      pureAlcohol: {
        value: 43079.5700607,
        unit: 'L',
      },
      method: {
        id: 'us-proof',
        version: '1.0.0',
        source: 'OIML R 22 at 60 °F; 27 CFR 30.11, 30.51, 30.61, 30.64',
      },
      warnings: [
        'Nothing is rounded here; 27 CFR 30 and local practice say how proof and proof gallons are rounded.',
        'For spirit free of solids: 0.1 g of solids in 100 mL hides 0.4 degree of proof (27 CFR 30.32).',
      ],
    },
  },
  hydrometer: {
    summary: '27 CFR 30.61: 193 proof read at 75 °F is 189.5',
    request: {
      hydrometerReading: 193,
      temperature: {
        value: 75,
        unit: '[degF]',
      },
    },
    response: {
      strength: {
        value: 94.7359802233,
        unit: '%',
      },
      strengthAt60F: {
        value: 94.7284456116,
        unit: '%',
      },
      proof: 189.456891223,
      massFraction: {
        value: 92.0352946864,
        unit: '%',
      },
      densityAt60F: {
        value: 816.238364329,
        unit: 'kg/m3',
      },
      wineGallonsPerPound: 0.146997317668,
      proofGallonsPerPound: 0.278496548235,
      method: {
        id: 'us-proof',
        version: '1.0.0',
        source: 'OIML R 22 at 60 °F; 27 CFR 30.11, 30.51, 30.61, 30.64',
      },
      warnings: [
        'Nothing is rounded here; 27 CFR 30 and local practice say how proof and proof gallons are rounded.',
        'For spirit free of solids: 0.1 g of solids in 100 mL hides 0.4 degree of proof (27 CFR 30.32).',
      ],
    },
  },
  gaugedByVolume: {
    summary: '27 CFR 30.51: gallons of 86.8 proof at 72 °F',
    request: {
      proof: 86.8,
      temperature: {
        value: 72,
        unit: '[degF]',
      },
      volume: {
        value: 4308.48,
        unit: '[gal_us]',
      },
    },
    response: {
      strength: {
        value: 43.4658508998,
        unit: '%',
      },
      strengthAt60F: {
        value: 43.4,
        unit: '%',
      },
      proof: 86.8,
      massFraction: {
        value: 36.4074377405,
        unit: '%',
      },
      densityAt60F: {
        value: 945.345613782,
        unit: 'kg/m3',
      },
      wineGallonsPerPound: 0.126896160512,
      proofGallonsPerPound: 0.110145867324,
      wineGallons: {
        value: 4287.21505513,
        unit: '[gal_us]',
      },
      proofGallons: 3721.30266785,
      volumeAt20: {
        value: 16282.171936,
        unit: 'L',
      },
      pureAlcohol: {
        value: 7077.18457696,
        unit: 'L',
      },
      method: {
        id: 'us-proof',
        version: '1.0.0',
        source: 'OIML R 22 at 60 °F; 27 CFR 30.11, 30.51, 30.61, 30.64',
      },
      warnings: [
        'Nothing is rounded here; 27 CFR 30 and local practice say how proof and proof gallons are rounded.',
        'For spirit free of solids: 0.1 g of solids in 100 mL hides 0.4 degree of proof (27 CFR 30.32).',
      ],
    },
  },
  from20C: {
    summary: '40 % vol at 20 °C',
    request: {
      strength: {
        value: 40,
        unit: '%',
      },
    },
    response: {
      strength: {
        value: 40,
        unit: '%',
      },
      strengthAt60F: {
        value: 39.9314156335,
        unit: '%',
      },
      proof: 79.8628312669,
      massFraction: {
        value: 33.2996427819,
        unit: '%',
      },
      densityAt60F: {
        value: 950.968500373,
        unit: 'kg/m3',
      },
      wineGallonsPerPound: 0.126144900895,
      proofGallonsPerPound: 0.100742889354,
      method: {
        id: 'us-proof',
        version: '1.0.0',
        source: 'OIML R 22 at 60 °F; 27 CFR 30.11, 30.51, 30.61, 30.64',
      },
      warnings: [
        'Nothing is rounded here; 27 CFR 30 and local practice say how proof and proof gallons are rounded.',
        'For spirit free of solids: 0.1 g of solids in 100 mL hides 0.4 degree of proof (27 CFR 30.32).',
      ],
    },
  },
};
