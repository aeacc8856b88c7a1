import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const proofExamples: RequestExamples = {
  gaugedByWeight: {
    summary: '27 CFR 30.64: 81,000 lb of 190 proof',
    request: {
      proof: 190,
      weight: { value: 81000, unit: '[lb_av]' },
    },
  },
  hydrometer: {
    summary: '27 CFR 30.61: 193 proof read at 75 °F is 189.5',
    request: {
      hydrometerReading: 193,
      temperature: { value: 75, unit: '[degF]' },
    },
  },
  gaugedByVolume: {
    summary: '27 CFR 30.51: gallons of 86.8 proof at 72 °F',
    request: {
      proof: 86.8,
      temperature: { value: 72, unit: '[degF]' },
      volume: { value: 4308.48, unit: '[gal_us]' },
    },
  },
  from20C: {
    summary: '40 % vol at 20 °C',
    request: {
      strength: { value: 40, unit: '%' },
    },
  },
};
