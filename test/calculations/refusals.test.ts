import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { CalculationsModule } from '../../src/calculations/calculations.module.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { bootModules, clientOf } from '../support/http.js';
import { problemOf } from '../support/problem.js';

let app: NestFastifyApplication;

beforeAll(async () => {
  app = await bootModules(PlatformModule, CalculationsModule);
});
afterAll(async () => {
  await app.close();
});

const q = (value: number, unit: string) => ({ value, unit });
const c20 = q(20, 'Cel');
const sg = (value: number, more: object = {}) => ({ value, scale: 'sg-20-20', ...more });
const balance = (original: object, final: object, more: object = {}) => ({
  method: 'mass-balance',
  originalGravity: original,
  finalGravity: final,
  ...more,
});
const component = (name: string, strength: number, available: number, more: object = {}) => ({
  name,
  strength: q(strength, '%'),
  available: q(available, 'L'),
  ...more,
});
const blendOf = (components: object[], volume = 100, strength = 5) => ({
  components,
  target: { volume: q(volume, 'L'), strength: q(strength, '%') },
});
const measured = (more: object = {}) => ({
  measured: q(5, '%'),
  standardUncertainty: q(0.1, '%'),
  declared: q(5, '%'),
  tolerance: q(0.5, '%'),
  ...more,
});
const dilution = (more: object) => ({ strength: q(10, '%'), targetStrength: q(5, '%'), volume: q(100, 'L'), ...more });
const certificate = (more: object = {}) => ({
  method: 'certificate',
  strength: q(5, '%'),
  expandedUncertainty: q(0.1, '%'),
  coverageFactor: 2,
  ...more,
});
const two = [component('a', 12, 50), component('b', 0, 500)];

type Case = [what: string, path: string, body: object, status: number, code: string, pointer: string, rule: string];

// prettier-ignore
const CASES: Case[] = [
  ['nothing known', 'alcohol-water', { temperature: c20 }, 400, 'validation-failed', '', 'required'],
  ['two knowns', 'alcohol-water', { temperature: c20, density: q(950, 'kg/m3'), massFraction: q(40, '%') }, 422, 'not-computable', '/density', 'contradictory'],
  ['too hot', 'alcohol-water', { temperature: q(41, 'Cel'), volumeFraction: q(40, '%') }, 422, 'out-of-range', '/temperature/value', 'out-of-range'],
  ['frozen', 'alcohol-water', { temperature: q(-15, 'Cel'), volumeFraction: q(5, '%') }, 422, 'out-of-range', '/temperature/value', 'frozen'],
  ['no such density', 'alcohol-water', { temperature: c20, density: q(1010, 'kg/m3') }, 422, 'out-of-range', '/density/value', 'out-of-range'],
  ['more than all alcohol', 'alcohol-water', { temperature: c20, volumeFraction: q(100.001, '%') }, 422, 'out-of-range', '/volumeFraction/value', 'out-of-range'],
  ['less than none', 'alcohol-water', { temperature: c20, massFraction: q(-1, '%') }, 422, 'out-of-range', '/massFraction/value', 'out-of-range'],
  ['a density in g', 'alcohol-water', { temperature: c20, density: q(950, 'g') }, 400, 'unit-unknown', '/density/unit', 'unknown-unit'],
  ['a lost decimal point', 'extract', { gravity: sg(1048) }, 422, 'out-of-range', '/gravity/value', 'suspicious-gravity'],
  ['an unknown scale', 'extract', { gravity: { value: 12, scale: 'brix' } }, 400, 'scale-unknown', '/gravity/scale', 'unknown-scale'],
  ['more than 60 °P', 'extract', { gravity: { value: 61, scale: 'plato' } }, 422, 'out-of-range', '/gravity/value', 'out-of-range'],
  ['an SG that no extract has', 'extract', { gravity: sg(0.9) }, 422, 'out-of-range', '/gravity/value', 'out-of-range'],
  ['an unknown liquid', 'hydrometer-correction', { reading: sg(1.05), sampleTemperature: c20, liquid: 'honey' }, 400, 'validation-failed', '/liquid', 'one-of'],
  ['a drink without its strength', 'hydrometer-correction', { reading: sg(1.01), sampleTemperature: c20, liquid: 'finished-drink' }, 400, 'validation-failed', '/strength', 'required'],
  ['a sugar solution with a strength', 'hydrometer-correction', { reading: sg(1.05), sampleTemperature: c20, liquid: 'sugar-solution', strength: q(5, '%') }, 422, 'not-computable', '/strength', 'contradictory'],
  ['a sample too hot', 'hydrometer-correction', { reading: sg(1.05), sampleTemperature: q(60, 'Cel'), liquid: 'sugar-solution' }, 422, 'out-of-range', '/sampleTemperature/value', 'out-of-range'],
  ['no method', 'strength', { originalGravity: sg(1.05) }, 400, 'validation-failed', '/method', 'required'],
  ['a method named like a property', 'strength', { method: 'toString' }, 400, 'validation-failed', '/method', 'one-of'],
  ['no final gravity', 'strength', { method: 'mass-balance', originalGravity: sg(1.05) }, 400, 'validation-failed', '/finalGravity', 'required'],
  ['an input of another method', 'strength', balance(sg(1.05), sg(1.01), { density: q(990, 'kg/m3') }), 422, 'not-computable', '/density', 'contradictory'],
  ['final above original', 'strength', balance(sg(1.01), sg(1.05)), 422, 'readings-disagree', '/finalGravity/value', 'final-above-original'],
  ['real extract below zero', 'strength', balance(sg(1.03), sg(0.983)), 422, 'readings-disagree', '/finalGravity/value', 'readings-disagree'],
  ['a drop past the table', 'strength', { ...balance(sg(1.12), sg(1.01)), method: 'gravity-drop-table' }, 422, 'out-of-range', '/originalGravity/value', 'beyond-table'],
  ['a sample temperature outside the method', 'strength', balance(sg(1.05, { sampleTemperature: q(55, 'Cel') }), sg(1.01)), 422, 'out-of-range', '/originalGravity/sampleTemperature/value', 'out-of-range'],
  ['a negative u', 'strength', balance(sg(1.05, { standardUncertainty: -0.001 }), sg(1.01)), 422, 'out-of-range', '/originalGravity/standardUncertainty', 'out-of-range'],
  ['a coverage factor of zero', 'strength', certificate({ coverageFactor: 0 }), 422, 'out-of-range', '/coverageFactor', 'out-of-range'],
  ['a negative U', 'strength', certificate({ expandedUncertainty: q(-0.1, '%') }), 422, 'out-of-range', '/expandedUncertainty/value', 'out-of-range'],
  ['no seed', 'strength', balance(sg(1.05), sg(1.01), { monteCarlo: { draws: 5000 } }), 400, 'validation-failed', '/monteCarlo/seed', 'required'],
  ['too many draws', 'strength', balance(sg(1.05), sg(1.01), { monteCarlo: { draws: 1e9, seed: 1 } }), 422, 'out-of-range', '/monteCarlo/draws', 'out-of-range'],
  ['Monte Carlo of a certificate', 'strength', certificate({ monteCarlo: { seed: 1 } }), 422, 'not-computable', '/monteCarlo', 'contradictory'],
  ['a residue without its u', 'strength', { method: 'alcohol-density', density: q(990, 'kg/m3'), temperature: c20, basis: 'no-solids-added', residue: q(0.2, 'g/L')}, 400, 'validation-failed', '/residueStandardUncertainty', 'required'],
  ['a residue in a distillate', 'strength', { method: 'alcohol-density', density: q(990, 'kg/m3'), temperature: c20, basis: 'distilled', residue: q(0.2, 'g/L')}, 422, 'not-computable', '/residue', 'contradictory'],
  ['a density above water', 'strength', { method: 'alcohol-density', density: q(1010, 'kg/m3'), temperature: c20 }, 422, 'out-of-range', '/density/value', 'out-of-range'],
  ['a target above the start', 'dilution', dilution({ targetStrength: q(12, '%') }), 422, 'not-computable', '/targetStrength/value', 'no-solution'],
  ['both volumes', 'dilution', dilution({ finalVolume: q(100, 'L') }), 422, 'not-computable', '/volume', 'contradictory'],
  ['a volume of zero', 'dilution', dilution({ volume: q(0, 'L') }), 422, 'out-of-range', '/volume/value', 'out-of-range'],
  ['a negative volume', 'dilution', dilution({ volume: q(-5, 'L') }), 422, 'out-of-range', '/volume/value', 'out-of-range'],
  ['a volume of a planet', 'dilution', dilution({ volume: q(1e21, 'L') }), 422, 'out-of-range', '/volume/value', 'out-of-range'],
  ['an extract past the scale', 'dilution', dilution({ extract: 70 }), 422, 'out-of-range', '/extract', 'out-of-range'],
  ['a density that the strength denies', 'dilution', dilution({ strength: q(90, '%'), density: q(1200, 'kg/m3') }), 422, 'not-computable', '/density/value', 'contradictory'],
  ['hot water', 'dilution', dilution({ waterTemperature: q(90, 'Cel') }), 422, 'out-of-range', '/waterTemperature/value', 'out-of-range'],
  ['one component', 'blend', blendOf([component('a', 12, 50)]), 422, 'not-computable', '/components', 'too-few'],
  ['eleven components', 'blend', blendOf(Array.from({ length: 11 }, (_, i) => component(`c${i}`, i, 50))), 422, 'not-computable', '/components', 'too-many'],
  ['a minimum above what is there', 'blend', blendOf([component('a', 12, 50, { minimum: q(60, 'L') }), two[1]]), 422, 'not-computable', '/components/0/minimum/value', 'contradictory'],
  ['a name twice', 'blend', blendOf([two[0], two[0]]), 422, 'not-computable', '/components/1/name', 'duplicate'],
  ['stronger than the strongest', 'blend', blendOf(two, 10, 15), 422, 'not-computable', '/target', 'no-solution'],
  ['more than there is', 'blend', blendOf(two, 1000, 5), 422, 'not-computable', '/target', 'no-solution'],
  ['a component without a strength', 'blend', blendOf([{ name: 'a', available: q(1, 'L') }, two[1]]), 400, 'validation-failed', '/components/0/strength', 'required'],
  ['both of pressure and volumes', 'carbonation', { temperature: c20, volumesOfCO2: 2, gaugePressure: q(1, 'bar') }, 422, 'not-computable', '/volumesOfCO2', 'contradictory'],
  ['neither of them', 'carbonation', { temperature: c20 }, 400, 'validation-failed', '', 'required'],
  ['too many volumes', 'carbonation', { temperature: c20, volumesOfCO2: 9 }, 422, 'out-of-range', '/volumesOfCO2', 'out-of-range'],
  ['negative volumes', 'carbonation', { temperature: c20, volumesOfCO2: -1 }, 422, 'out-of-range', '/volumesOfCO2', 'out-of-range'],
  ['too warm', 'carbonation', { temperature: q(45, 'Cel'), volumesOfCO2: 2 }, 422, 'out-of-range', '/temperature/value', 'out-of-range'],
  ['a place without air', 'carbonation', { temperature: c20, volumesOfCO2: 2, atmosphericPressure: q(1, 'kPa') }, 422, 'out-of-range', '/atmosphericPressure/value', 'out-of-range'],
  ['a negative standard uncertainty', 'conformity', measured({ standardUncertainty: q(-0.1, '%') }), 422, 'not-computable', '/standardUncertainty/value', 'negative-uncertainty'],
  ['a negative tolerance', 'conformity', measured({ tolerance: q(-0.5, '%') }), 422, 'out-of-range', '/tolerance/value', 'out-of-range'],
  ['a risk of one', 'conformity', measured({ allowedRisk: 1 }), 422, 'out-of-range', '/allowedRisk', 'out-of-range'],
  ['two units', 'conformity', measured({ declared: q(5, 'L') }), 400, 'unit-unknown', '/declared/unit', 'unit-differs'],
  ['a number as text', 'conformity', measured({ measured: { value: '5', unit: '%' } }), 400, 'validation-failed', '/measured/value', 'type'],
  ['a property that is not known', 'extract', { gravity: sg(1.05), temperature: c20 }, 400, 'validation-failed', '/temperature', 'unknown-property'],
];

const named = CASES.map(([what, path, body, status, code, pointer, rule]) => ({
  what,
  path,
  body,
  status,
  code,
  pointer,
  rule,
}));

test.each(named)('$what ($path)', async ({ path, body, status, code, pointer, rule }) => {
  const response = await clientOf(app).post(`/v1/calculations/${path}`).send(body);
  expect(response.status).toBeGreaterThanOrEqual(400);
  const problem = problemOf(response);
  expect({ status: response.status, code: problem.code, ...problem.errors?.[0] }).toMatchObject({
    status,
    code,
    pointer,
    rule,
  });
  if (rule === 'out-of-range' || rule === 'beyond-table') {
    expect(problem.errors?.[0].range).toHaveLength(2);
  }
});

test('a blend that cannot be had names why and the nearest that can', async () => {
  const response = await clientOf(app)
    .post('/v1/calculations/blend')
    .send(blendOf(two, 100, 9));
  const problem = problemOf(response);
  expect(problem.errors?.[0]).toMatchObject({
    rule: 'no-solution',
    reason: expect.any(String),
    nearest: { strength: { unit: '%' }, volume: { unit: 'L' } },
  });
  expect(problem.detail).toMatch(/nearest/);
});

test('a lost decimal point is answered with what was probably meant', async () => {
  const response = await clientOf(app)
    .post('/v1/calculations/strength')
    .send(balance(sg(10.65), sg(0.99)));
  expect(problemOf(response).errors?.[0]).toMatchObject({ pointer: '/originalGravity/value', suggestion: '1.065' });
});
