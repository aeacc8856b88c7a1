import type { RequestExamples } from '../../platform/openapi/request-examples.js';

export const strengthExamples: RequestExamples = {
  massBalance: {
    summary: 'A dry sugar ferment by mass balance',
    request: {
      method: 'mass-balance',
      originalGravity: {
        value: 1.065,
        scale: 'sg-20-20',
        sampleTemperature: { value: 20, unit: 'Cel' },
        standardUncertainty: 0.0005,
      },
      finalGravity: {
        value: 0.99,
        scale: 'sg-20-20',
        sampleTemperature: { value: 20, unit: 'Cel' },
        standardUncertainty: 0.0005,
      },
      wash: 'sugar',
    },
  },
  monteCarlo: {
    summary: 'A malt ferment with default uncertainties, and Monte Carlo',
    request: {
      method: 'mass-balance',
      originalGravity: { value: 1.048, scale: 'sg-20-20', sampleTemperature: { value: 23, unit: 'Cel' } },
      finalGravity: { value: 1.0102, scale: 'sg-20-20', sampleTemperature: { value: 18, unit: 'Cel' } },
      wash: 'malt',
      monteCarlo: { draws: 20000, seed: 7 },
    },
  },
  gravityDropTable: {
    summary: 'Factor table of HMRC Notice 226, 30.3: a drop of 38.0 points gives 4.94 %',
    request: {
      method: 'gravity-drop-table',
      originalGravity: { value: 1.048, scale: 'sg-20-20' },
      finalGravity: { value: 1.01, scale: 'sg-20-20' },
      wash: 'malt',
    },
  },
  alcoholDensity: {
    summary: 'Density of a distillate',
    request: {
      method: 'alcohol-density',
      density: { value: 993.14, unit: 'kg/m3', standardUncertainty: 0.05 },
      temperature: { value: 20, unit: 'Cel', standardUncertainty: 0.1 },
      basis: 'distilled',
    },
  },
  alcoholometer: {
    summary: 'An alcoholometer in a spirit with a little residue',
    request: {
      method: 'alcoholometer',
      reading: { value: 41.2, unit: '%' },
      temperature: { value: 24, unit: 'Cel' },
      basis: 'no-solids-added',
      residue: { value: 0.2, unit: 'g/L' },
      residueStandardUncertainty: { value: 0.1, unit: 'g/L' },
    },
  },
  certificate: {
    summary: 'A laboratory certificate',
    request: {
      method: 'certificate',
      strength: { value: 5.02, unit: '%' },
      expandedUncertainty: { value: 0.06, unit: '%' },
      coverageFactor: 2,
    },
  },
};
