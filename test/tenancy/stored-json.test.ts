import { MaterialFacts } from '../../src/production/registers/materials/materials.dto.js';
import { Approval } from '../../src/tenancy/premises/premises.dto.js';
import { DEFAULT_SETTINGS, storedSettings } from '../../src/tenancy/producers/producers.dto.js';
import { fromJson, listFromJson, toJson } from '../../src/tenancy/settings/stored-json.js';

const YIELD = { extractYield: { value: 75, unit: '%' }, fermentable: 'malt' };

test('a JSON column that fits its class is read as it was written', () => {
  expect(fromJson(MaterialFacts, 'material.details', YIELD)).toEqual(YIELD);
  expect(storedSettings({ settings: toJson(DEFAULT_SETTINGS) })).toEqual(DEFAULT_SETTINGS);
});

test.each([
  ['a value of another type', { ...YIELD, fermentable: 7 }, '/fermentable'],
  ['a unit that the property does not have', { extractYield: { value: 75, unit: 'kg' } }, '/extractYield'],
  ['a property that the class does not have', { ...YIELD, colour: 'amber' }, '/colour'],
])('%s fails, naming column and property', (_case, json, property) => {
  const read = () => fromJson(MaterialFacts, 'material.details', json);
  expect(read).toThrow('material.details');
  expect(read).toThrow(property);
});

test('a column of another form fails', () => {
  expect(() => fromJson(MaterialFacts, 'material.details', [])).toThrow('material.details');
  expect(() => listFromJson(Approval, 'premises.approvals', {})).toThrow('premises.approvals');
  expect(() => listFromJson(Approval, 'premises.approvals', [{ authority: 'Customs (invented)' }])).toThrow('/number');
});

test('a nested value that does not fit is named with its path', () => {
  const settings = { ...toJson(DEFAULT_SETTINGS), chargeableLosses: [{ line: 'no-such-line' }] };
  expect(() => storedSettings({ settings })).toThrow('/chargeableLosses/0/line');
});
