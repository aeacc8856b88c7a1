import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const additionExamples: RequestExamples = {
  dosePerBottle: {
    summary: '4 mL of an alcoholic flavouring in a bottle of 330 mL',
    request: {
      kind: 'dose',
      base: { strength: { value: 5, unit: '%' }, extract: 0.4 },
      addition: { strength: { value: 60, unit: '%' }, extract: 5 },
      dose: { volume: { value: 4, unit: 'mL' }, per: 'bottle', bottle: { value: 330, unit: 'mL' } },
      volume: { value: 1000, unit: 'L' },
      declaredStrength: { value: 5.5, unit: '%' },
    },
  },
  syrup: {
    summary: '60 mL of syrup of 60 °Bx in a litre of finished drink',
    request: {
      kind: 'dose',
      base: { strength: { value: 5, unit: '%' }, extract: 0.4 },
      addition: { strength: { value: 0, unit: '%' }, extract: 60 },
      dose: { volume: { value: 60, unit: 'mL' }, per: 'litre-of-finished-drink' },
    },
  },
  sugar: {
    summary: '12 kg of sucrose dissolved in 200 L',
    request: {
      kind: 'solids',
      base: { strength: { value: 8, unit: '%' }, extract: 0 },
      solid: 'sucrose',
      mass: { value: 12, unit: 'kg' },
      volume: { value: 200, unit: 'L' },
    },
  },
  fortification: {
    summary: 'A wine of 12 % brought to 18 % with spirit of 96 %',
    request: {
      kind: 'to-strength',
      base: { strength: { value: 12, unit: '%' }, extract: 2.5, temperature: { value: 15, unit: 'Cel' } },
      addition: { strength: { value: 96, unit: '%' } },
      targetStrength: { value: 18, unit: '%' },
      volume: { value: 225, unit: 'L' },
    },
  },
  notWater: {
    summary: 'A strong ferment brought down with a weak one',
    request: {
      kind: 'to-strength',
      base: { strength: { value: 14, unit: '%' }, extract: 0.8 },
      addition: { strength: { value: 0.4, unit: '%' }, extract: 6, temperature: { value: 8, unit: 'Cel' } },
      targetStrength: { value: 5, unit: '%' },
      finalVolume: { value: 1000, unit: 'L' },
    },
  },
};
