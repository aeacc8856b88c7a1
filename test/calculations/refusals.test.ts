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
const plan = (more: object = {}) => ({
  fermentables: [{ kind: 'sucrose', mass: q(30, 'kg') }],
  volume: q(200, 'L'),
  expectation: { finalGravity: sg(0.996) },
  ...more,
});
const dose = (more: object = {}) => ({
  kind: 'dose',
  base: { strength: q(5, '%') },
  addition: { strength: q(60, '%') },
  dose: { volume: q(4, 'mL'), per: 'bottle', bottle: q(330, 'mL') },
  ...more,
});
const solids = (more: object = {}) => ({
  kind: 'solids',
  base: { strength: q(8, '%') },
  solid: 'sucrose',
  mass: q(12, 'kg'),
  volume: q(200, 'L'),
  ...more,
});
const fortify = (more: object = {}) => ({
  kind: 'to-strength',
  base: { strength: q(12, '%') },
  addition: { strength: q(96, '%') },
  targetStrength: q(18, '%'),
  volume: q(100, 'L'),
  ...more,
});
const conditioning = (more: object = {}) => ({
  volume: q(500, 'L'),
  strength: q(5, '%'),
  sugar: 'sucrose',
  volumesOfCO2: 2.5,
  highestTemperature: c20,
  ...more,
});
const drink = (more: object = {}) => ({ liquid: 'drink', strength: q(5, '%'), volume: q(100, 'L'), ...more });
const input = (more: object = {}) => ({ name: 'x', value: 1, standardUncertainty: 0.1, sensitivity: 1, ...more });
const compared = (more: object = {}) => ({ strength: q(5, '%'), standardUncertainty: q(0.1, '%'), ...more });
const pairsOf = (count: number, certificate = 5) => ({
  pairs: Array.from({ length: count }, () => ({
    massBalance: q(5, '%'),
    certificate: q(certificate, '%'),
    certificateStandardUncertainty: q(0.03, '%'),
  })),
});
const fills = (values: unknown, unit = 'mL') => ({ nominalVolume: q(330, 'mL'), fills: { values, unit } });
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
  ['a set pressure below that of the target', 'carbonation', { temperature: c20, volumesOfCO2: 2.5, timed: { gaugePressure: q(1, 'bar') } }, 422, 'not-computable', '/timed/gaugePressure/value', 'contradictory'],
  ['a set pressure beyond the range', 'carbonation', { temperature: c20, volumesOfCO2: 2.5, timed: { gaugePressure: q(20, 'bar') } }, 422, 'out-of-range', '/timed/gaugePressure/value', 'out-of-range'],
  ['a drink that holds the target at the start', 'carbonation', { temperature: c20, volumesOfCO2: 2.5, timed: { gaugePressure: q(4, 'bar'), startVolumesOfCO2: 2.5 } }, 422, 'not-computable', '/volumesOfCO2', 'contradictory'],
  ['a half-time of nothing', 'carbonation', { temperature: c20, volumesOfCO2: 2.5, timed: { gaugePressure: q(4, 'bar'), halfTime: q(0, 'h') } }, 422, 'out-of-range', '/timed/halfTime/value', 'out-of-range'],
  ['the timed way without a target', 'carbonation', { temperature: c20, gaugePressure: q(1, 'bar'), timed: { gaugePressure: q(2, 'bar') } }, 400, 'validation-failed', '/volumesOfCO2', 'required'],
  ['a pressure unit that is none', 'carbonation', { temperature: c20, volumesOfCO2: 2.5, pressureUnit: 'atm' }, 400, 'validation-failed', '/pressureUnit', 'one-of'],
  ['a place without air', 'carbonation', { temperature: c20, volumesOfCO2: 2, atmosphericPressure: q(1, 'kPa') }, 422, 'out-of-range', '/atmosphericPressure/value', 'out-of-range'],
  ['a negative standard uncertainty', 'conformity', measured({ standardUncertainty: q(-0.1, '%') }), 422, 'not-computable', '/standardUncertainty/value', 'negative-uncertainty'],
  ['a negative tolerance', 'conformity', measured({ tolerance: q(-0.5, '%') }), 422, 'out-of-range', '/tolerance/value', 'out-of-range'],
  ['no tolerance at all', 'conformity', measured({ tolerance: undefined }), 400, 'validation-failed', '/tolerance', 'exactly-one'],
  ['a tolerance in two ways', 'conformity', measured({ toleranceAbove: q(0.1, '%') }), 400, 'validation-failed', '/tolerance', 'exactly-one'],
  ['a risk of one', 'conformity', measured({ allowedRisk: 1 }), 422, 'out-of-range', '/allowedRisk', 'out-of-range'],
  ['two units', 'conformity', measured({ declared: q(5, 'L') }), 400, 'unit-unknown', '/declared/unit', 'unit-differs'],
  ['no fermentables', 'plan', plan({ fermentables: [] }), 422, 'not-computable', '/fermentables', 'too-few'],
  ['malt without its yield', 'plan', plan({ fermentables: [{ kind: 'malt', mass: q(30, 'kg') }] }), 422, 'not-computable', '/fermentables/0', 'contradictory'],
  ['a yield above 100 %', 'plan', plan({ fermentables: [{ kind: 'malt', mass: q(30, 'kg'), extractYield: q(120, '%') }] }), 422, 'out-of-range', '/fermentables/0/extractYield/value', 'out-of-range'],
  ['forwards and backwards', 'plan', plan({ wanted: { strength: q(5, '%'), finalVolume: q(200, 'L') } }), 422, 'not-computable', '/volume', 'contradictory'],
  ['neither of them', 'plan', plan({ volume: undefined }), 400, 'validation-failed', '', 'required'],
  ['no expectation', 'plan', plan({ expectation: {} }), 400, 'validation-failed', '/expectation', 'required'],
  ['two expectations', 'plan', plan({ expectation: { realAttenuation: q(90, '%'), apparentAttenuation: q(90, '%') } }), 422, 'not-computable', '/expectation/apparentAttenuation', 'contradictory'],
  ['a final gravity above the original', 'plan', plan({ expectation: { finalGravity: sg(1.09) } }), 422, 'not-computable', '/expectation/finalGravity/value', 'no-solution'],
  ['more sugar than dissolves', 'plan', plan({ volume: q(20, 'L') }), 422, 'out-of-range', '/volume/value', 'out-of-range'],
  ['a strength that no sugar gives', 'plan', plan({ volume: undefined, wanted: { strength: q(80, '%'), finalVolume: q(10, 'L') } }), 422, 'not-computable', '/wanted/strength/value', 'no-solution'],
  ['a measured gravity off the scale', 'plan', plan({ measured: { originalGravity: sg(1060) } }), 422, 'out-of-range', '/measured/originalGravity/value', 'suspicious-gravity'],
  ['a measured gravity of no wort', 'plan', plan({ measured: { originalGravity: sg(0.92) } }), 422, 'out-of-range', '/measured/originalGravity/value', 'out-of-range'],
  ['an unknown kind of addition', 'addition', dose({ kind: 'magic' }), 400, 'validation-failed', '/kind', 'one-of'],
  ['a dose without the addition', 'addition', dose({ addition: undefined }), 400, 'validation-failed', '/addition', 'required'],
  ['a dose with a mass', 'addition', dose({ mass: q(1, 'kg') }), 422, 'not-computable', '/mass', 'contradictory'],
  ['a dose per bottle without the bottle', 'addition', dose({ dose: { volume: q(4, 'mL'), per: 'bottle' } }), 400, 'validation-failed', '/dose/bottle', 'required'],
  ['a bottle where a litre counts', 'addition', dose({ dose: { volume: q(4, 'mL'), per: 'litre-of-base', bottle: q(330, 'mL') } }), 422, 'not-computable', '/dose/bottle', 'contradictory'],
  ['a dose above the bottle', 'addition', dose({ dose: { volume: q(400, 'mL'), per: 'bottle', bottle: q(330, 'mL') } }), 422, 'out-of-range', '/dose/volume/value', 'out-of-range'],
  ['a dose that fills the bottle', 'addition', dose({ dose: { volume: q(330, 'mL'), per: 'bottle', bottle: q(330, 'mL') } }), 422, 'not-computable', '/dose/volume/value', 'contradictory'],
  ['a negative dose', 'addition', dose({ dose: { volume: q(-1, 'mL'), per: 'litre-of-base' } }), 422, 'out-of-range', '/dose/volume/value', 'out-of-range'],
  ['a thimble for a bottle', 'addition', dose({ dose: { volume: q(1, 'mL'), per: 'bottle', bottle: q(2, 'mL') } }), 422, 'out-of-range', '/dose/bottle/value', 'out-of-range'],
  ['a dose read warm', 'addition', dose({ base: { strength: q(5, '%'), temperature: q(30, 'Cel') } }), 422, 'not-computable', '/base/temperature', 'contradictory'],
  ['a syrup past the scale', 'addition', dose({ addition: { strength: q(0, '%'), extract: 65 } }), 422, 'out-of-range', '/addition/extract', 'out-of-range'],
  ['solids without a volume', 'addition', solids({ volume: undefined }), 400, 'validation-failed', '/volume', 'required'],
  ['a negative mass of sugar', 'addition', solids({ mass: q(-1, 'kg') }), 422, 'out-of-range', '/mass/value', 'out-of-range'],
  ['a base heavier than it can be', 'addition', solids({ base: { strength: q(8, '%'), density: q(1299, 'kg/m3') } }), 422, 'not-computable', '/base/density/value', 'contradictory'],
  ['a fortification with both volumes', 'addition', fortify({ finalVolume: q(100, 'L') }), 422, 'not-computable', '/volume', 'contradictory'],
  ['a target not between the two', 'addition', fortify({ targetStrength: q(11, '%') }), 422, 'not-computable', '/targetStrength/value', 'no-solution'],
  ['an addition too hot', 'addition', fortify({ addition: { strength: q(96, '%'), temperature: q(60, 'Cel') } }), 422, 'out-of-range', '/addition/temperature/value', 'out-of-range'],
  ['an unknown sugar', 'conditioning', conditioning({ sugar: 'honey' }), 400, 'validation-failed', '/sugar', 'one-of'],
  ['too many volumes in a bottle', 'conditioning', conditioning({ volumesOfCO2: 9 }), 422, 'out-of-range', '/volumesOfCO2', 'out-of-range'],
  ['a drink that was too warm', 'conditioning', conditioning({ highestTemperature: q(55, 'Cel') }), 422, 'out-of-range', '/highestTemperature/value', 'out-of-range'],
  ['a place without air again', 'conditioning', conditioning({ atmosphericPressure: q(20, 'kPa') }), 422, 'out-of-range', '/atmosphericPressure/value', 'out-of-range'],
  ['an empty tank', 'conditioning', conditioning({ volume: q(0, 'L') }), 422, 'out-of-range', '/volume/value', 'out-of-range'],
  ['no amount', 'volume', drink({ volume: undefined }), 400, 'validation-failed', '', 'required'],
  ['two amounts', 'volume', drink({ mass: q(100, 'kg') }), 422, 'not-computable', '/volume', 'contradictory'],
  ['a wort with a strength', 'volume', drink({ liquid: 'wort', extract: 12 }), 422, 'not-computable', '/strength', 'contradictory'],
  ['a wort without its extract', 'volume', { liquid: 'wort', volume: q(100, 'L') }, 400, 'validation-failed', '/extract', 'required'],
  ['a boiling drink', 'volume', drink({ temperature: q(98, 'Cel') }), 422, 'out-of-range', '/temperature/value', 'out-of-range'],
  ['a wort past the boil', 'volume', { liquid: 'wort', extract: 12, volume: q(1, 'L'), temperature: q(101, 'Cel') }, 422, 'out-of-range', '/temperature/value', 'out-of-range'],
  ['a negative volume', 'volume', drink({ volume: q(-1, 'L') }), 422, 'out-of-range', '/volume/value', 'out-of-range'],
  ['a frozen liquid', 'volume', { liquid: 'alcohol-water', strength: q(5, '%'), volume: q(1, 'L'), temperature: q(-15, 'Cel') }, 422, 'out-of-range', '/temperature/value', 'frozen'],
  ['gas in a mass', 'volume', drink({ volume: undefined, mass: q(1, 'kg'), dissolvedCO2: q(5, 'g/L') }), 422, 'not-computable', '/dissolvedCO2', 'contradictory'],
  ['more gas than any drink holds', 'volume', drink({ dissolvedCO2: q(25, 'g/L') }), 422, 'out-of-range', '/dissolvedCO2/value', 'out-of-range'],
  ['no strength of any kind', 'proof', { volume: q(1, 'L') }, 400, 'validation-failed', '', 'required'],
  ['two strengths', 'proof', { proof: 80, strength: q(40, '%') }, 422, 'not-computable', '/strength', 'contradictory'],
  ['more than 200 proof', 'proof', { proof: 201 }, 422, 'out-of-range', '/proof', 'out-of-range'],
  ['a hydrometer without a temperature', 'proof', { hydrometerReading: 100 }, 400, 'validation-failed', '/temperature', 'required'],
  ['a temperature for nothing', 'proof', { proof: 80, temperature: c20 }, 422, 'not-computable', '/temperature', 'contradictory'],
  ['volume and weight', 'proof', { proof: 80, volume: q(1, 'L'), weight: q(1, 'kg') }, 422, 'not-computable', '/weight/value', 'contradictory'],
  ['a negative weight', 'proof', { proof: 80, weight: q(-1, 'kg') }, 422, 'out-of-range', '/weight/value', 'out-of-range'],
  ['a reading that no spirit has', 'proof', { hydrometerReading: 200, temperature: q(-10, 'Cel') }, 422, 'out-of-range', '/hydrometerReading', 'out-of-range'],
  ['extract and carbohydrate', 'energy', { strength: q(5, '%'), extract: 3, carbohydrate: q(20, 'g/L') }, 422, 'not-computable', '/extract', 'contradictory'],
  ['a negative extract', 'energy', { strength: q(5, '%'), extract: -1 }, 422, 'out-of-range', '/extract', 'out-of-range'],
  ['an empty budget', 'uncertainty', { inputs: [] }, 422, 'not-computable', '/inputs', 'too-few'],
  ['more inputs than are taken', 'uncertainty', { inputs: Array.from({ length: 101 }, () => input()) }, 422, 'not-computable', '/inputs', 'too-many'],
  ['a negative u of an input', 'uncertainty', { inputs: [input({ standardUncertainty: -0.1 })] }, 422, 'out-of-range', '/inputs/0/standardUncertainty', 'out-of-range'],
  ['no degree of freedom', 'uncertainty', { inputs: [input({ degreesOfFreedom: 0 })] }, 422, 'out-of-range', '/inputs/0/degreesOfFreedom', 'out-of-range'],
  ['an unknown distribution', 'uncertainty', { inputs: [input({ distribution: 'cauchy' })] }, 400, 'validation-failed', '/inputs/0/distribution', 'one-of'],
  ['a matrix of the wrong size', 'uncertainty', { inputs: [input(), input()], correlation: [[1]] }, 422, 'not-computable', '/correlation', 'contradictory'],
  ['a matrix that is not symmetric', 'uncertainty', { inputs: [input(), input()], correlation: [[1, 0.5], [0.4, 1]] }, 422, 'not-computable', '/correlation', 'contradictory'],
  ['a correlation above one', 'uncertainty', { inputs: [input(), input()], correlation: [[1, 1.1], [1.1, 1]] }, 422, 'out-of-range', '/correlation/0/1', 'out-of-range'],
  ['a matrix that nothing can have', 'uncertainty', { inputs: [input(), input(), input()], correlation: [[1, 0.9, -0.9], [0.9, 1, 0.9], [-0.9, 0.9, 1]] }, 422, 'not-computable', '/correlation', 'not-positive-semi-definite'],
  ['one origin that is not one', 'uncertainty', { inputs: [input({ origin: 'a' }), input({ origin: 'a' })], correlation: [[1, 0.5], [0.5, 1]] }, 422, 'not-computable', '/correlation', 'contradictory'],
  ['a correlated rectangle in Monte Carlo', 'uncertainty', { inputs: [input({ distribution: 'rectangular' }), input({ name: 'y' })], correlation: [[1, 0.5], [0.5, 1]], monteCarlo: { seed: 1 } }, 422, 'not-computable', '/inputs/0/value', 'correlation-needs-normal'],
  ['certainty', 'uncertainty', { inputs: [input()], coverageProbability: 1 }, 422, 'out-of-range', '/coverageProbability', 'out-of-range'],
  ['a result past all numbers', 'uncertainty', { inputs: [input({ value: 1e300, sensitivity: 1e300 })] }, 422, 'not-computable', '/value', 'not-finite'],
  ['a finding without an uncertainty', 'comparison', { first: compared({ standardUncertainty: undefined }), second: compared() }, 400, 'validation-failed', '/first', 'required'],
  ['a finding with both', 'comparison', { first: compared(), second: compared({ components: [{ origin: 'a', contribution: 0.1 }] }) }, 422, 'not-computable', '/second/standardUncertainty', 'contradictory'],
  ['a negative u of a finding', 'comparison', { first: compared({ standardUncertainty: q(-0.1, '%') }), second: compared() }, 422, 'out-of-range', '/first/standardUncertainty/value', 'out-of-range'],
  ['different and both exact', 'comparison', { first: compared({ standardUncertainty: q(0, '%') }), second: compared({ strength: q(6, '%'), standardUncertainty: q(0, '%') }) }, 422, 'not-computable', '/second', 'contradictory'],
  ['four pairs', 'model-bias', pairsOf(4), 422, 'not-computable', '/pairs', 'too-few'],
  ['pairs that are worlds apart', 'model-bias', pairsOf(5, 15), 422, 'readings-disagree', '/pairs', 'readings-disagree'],
  ['a certificate of nothing', 'model-bias', pairsOf(5, 0), 422, 'out-of-range', '/pairs/0/certificate/value', 'out-of-range'],
  ['one fill', 'fill-check', fills([330]), 422, 'not-computable', '/fills/values', 'too-few'],
  ['more fills than are taken', 'fill-check', fills(Array.from({ length: 2001 }, () => 330)), 422, 'not-computable', '/fills/values', 'too-many'],
  ['a fill beyond twice nominal', 'fill-check', fills([330, 661]), 422, 'out-of-range', '/fills/values/1', 'out-of-range'],
  ['fills in kg', 'fill-check', fills([330, 330], 'kg'), 400, 'unit-unknown', '/fills/unit', 'unknown-unit'],
  ['a nominal volume of a thimble', 'fill-check', { ...fills([2, 2]), nominalVolume: q(2, 'mL') }, 422, 'out-of-range', '/nominalVolume/value', 'out-of-range'],
  ['nothing to mix', 'mixture', { components: [] }, 422, 'not-computable', '/components', 'too-few'],
  ['a mixture of nothing', 'mixture', { components: [{ name: 'a', volume: q(0, 'L'), strength: q(5, '%') }] }, 422, 'out-of-range', '/components', 'out-of-range'],
  ['a negative part', 'mixture', { components: [{ name: 'a', volume: q(-1, 'L'), strength: q(5, '%') }] }, 422, 'out-of-range', '/components/0/volume/value', 'out-of-range'],
  ['a part with a negative u', 'mixture', { components: [{ name: 'a', volume: q(1, 'L'), strength: q(5, '%'), strengthStandardUncertainty: q(-1, '%') }] }, 422, 'out-of-range', '/components/0/strengthStandardUncertainty/value', 'out-of-range'],
  ['no additions', 'original-extract', { originalGravity: sg(1.06), additions: [] }, 422, 'not-computable', '/additions', 'too-few'],
  ['an empty vessel', 'original-extract', { originalGravity: sg(1.06), additions: [{ vesselMass: q(0, 'kg'), addedMass: q(1, 'kg'), addedExtract: q(100, '%') }] }, 422, 'out-of-range', '/additions/0/vesselMass/value', 'out-of-range'],
  ['more extract than mass', 'original-extract', { originalGravity: sg(1.06), additions: [{ vesselMass: q(10, 'kg'), addedMass: q(1, 'kg'), addedExtract: q(101, '%') }] }, 422, 'out-of-range', '/additions/0/addedExtract/value', 'out-of-range'],
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

test('a lost decimal point is answered with the probable value', async () => {
  const response = await clientOf(app)
    .post('/v1/calculations/strength')
    .send(balance(sg(10.65), sg(0.99)));
  expect(problemOf(response).errors?.[0]).toMatchObject({ pointer: '/originalGravity/value', suggestion: '1.065' });
});
