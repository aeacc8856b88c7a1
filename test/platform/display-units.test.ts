import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { unitQuestion } from '../../src/metrology/unit-questions.js';
import { unitsUsed, withOtherUnits } from '../../src/platform/units/display-units.js';
import { unitsOf } from '../../src/metrology/units.js';

type Json = Record<string, unknown>;
interface Quantity {
  value: number;
  unit: string;
  alsoIn?: { value: number; unit: string };
}

let service: TestService;
beforeAll(async () => {
  service = await TestService.start();
});
afterAll(async () => {
  await service.stop();
});

const q = (value: number, unit: string): Quantity => ({ value, unit });

describe('the question for a unit that is written otherwise', () => {
  test.each([
    ['gal', 'US `[gal_us]` or imperial `[gal_br]`?', undefined],
    ['Gallons', 'US `[gal_us]` or imperial `[gal_br]`?', undefined],
    ['l', 'Is `L` meant?', 'L'],
    ['fl. oz', 'Is `[foz_us]` meant?', '[foz_us]'],
  ])('a volume in %s', (unit, question, suggestion) => {
    expect(unitQuestion(unit, unitsOf('volume'))).toEqual(
      suggestion === undefined ? { question } : { question, suggestion },
    );
  });

  test('only codes that the property has are offered, and no question where none is', () => {
    expect(unitQuestion('oz', unitsOf('mass'))).toEqual({ question: 'Is `[oz_av]` meant?', suggestion: '[oz_av]' });
    expect(unitQuestion('gal', unitsOf('mass'))).toBeUndefined();
    expect(unitQuestion('constructor', unitsOf('volume'))).toBeUndefined();
    expect(unitQuestion('°F', unitsOf('temperature'))).toMatchObject({ suggestion: '[degF]' });
  });

  test('over HTTP: refused with the pointer and the question, and nothing is stored', async () => {
    const floor = await Floor.open(service, []);
    const body = { premisesId: floor.premisesId, name: 'Tank 1', kind: 'fermenter', capacity: q(50, 'gal') };
    const refused = await floor.post('/v1/vessels', body, 400);
    expect(refused).toMatchObject({
      code: 'unit-unknown',
      detail: expect.stringContaining('US `[gal_us]` or imperial `[gal_br]`?') as unknown,
      errors: [{ pointer: '/capacity/unit', rule: 'unknown-unit' }],
    });
    expect((await floor.get('/v1/vessels')).items).toEqual([]);
  });
});

test('conversions by hand: a difference of temperature has no offset, and the body is not changed', () => {
  const answer = { temperature: q(20, 'Cel'), temperatureChange: q(5, 'Cel'), kept: 'x', list: [q(1, 'kg')] };
  const shown = withOtherUnits(answer, { temperature: '[degF]', mass: '[lb_av]' }) as Record<string, Quantity>;
  // 20 °C are 68 °F, 5 K are 9 °F; a pound is 0.45359237 kg by definition.
  expect(shown['temperature'].alsoIn).toEqual(q(68, '[degF]'));
  expect(shown['temperatureChange'].alsoIn).toEqual(q(9, '[degF]'));
  expect((shown['list'] as unknown as Quantity[])[0].alsoIn).toEqual(q(2.204623, '[lb_av]'));
  expect(answer.temperature).toEqual(q(20, 'Cel'));
  expect(unitsUsed({ a: [{ unit: '[psi]' }, { unit: 'kPa' }], volume: q(1, '[gal_br]') })).toEqual({
    pressure: '[psi]',
    volume: '[gal_br]',
  });
});

describe('the units of the person come back', () => {
  test('what was given in gallons, °F and psi is answered in it beside litres, °C and bar', async () => {
    const floor = await Floor.open(service, []);
    const vessel = await floor.post('/v1/vessels', {
      premisesId: floor.premisesId,
      name: 'Tank 2',
      kind: 'fermenter',
      capacity: q(50, '[gal_us]'),
    });
    // A US gallon is 231 cubic inches: 3.785411784 L.
    expect(vessel.capacity).toEqual({ ...q(50, '[gal_us]'), alsoIn: q(189.2706, 'L') });
    const carbonation = await floor.post(
      '/v1/calculations/carbonation',
      { temperature: q(39.2, '[degF]'), gaugePressure: q(12, '[psi]') },
      200,
    );
    const { gaugePressure } = carbonation as { gaugePressure: Quantity };
    expect(gaugePressure).toEqual({ ...q(12, '[psi]'), alsoIn: q(expect.closeTo(0.8273709, 7) as number, 'bar') });
  });

  test('the display units of the producer stand beside every quantity that it reads', async () => {
    const floor = await Floor.open(service, []);
    const vessel = await floor.post('/v1/vessels', {
      premisesId: floor.premisesId,
      name: 'Tank 3',
      kind: 'fermenter',
      capacity: q(200, 'L'),
    });
    expect(vessel.capacity).toEqual(q(200, 'L'));
    const read = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
    const settings = (read.body as { settings: Json }).settings;
    const change = (displayUnits: Json) =>
      service.call('patch', '/v1/producer', {
        key: floor.key,
        headers: { 'if-match': '"v1"' },
        body: { settings: { ...settings, displayUnits } },
      });
    expect((await change({ volume: 'gal' })).status).toBe(400);
    expect((await change({ volume: '[gal_br]', temperature: '[degF]' })).status).toBe(200);
    const list = (await floor.get('/v1/vessels')) as { items: { capacity: Quantity }[] };
    // An imperial gallon is 4.54609 L.
    expect(list.items[0].capacity).toEqual({ ...q(200, 'L'), alsoIn: q(43.99385, '[gal_br]') });
    // The unit of the request goes before the producer's.
    const other = await floor.post(
      '/v1/calculations/volume',
      {
        liquid: 'drink',
        strength: q(5, '%'),
        extract: 2,
        volume: q(10, '[gal_us]'),
      },
      200,
    );
    expect((other as { volume: Quantity }).volume.alsoIn?.unit).toBe('[gal_us]');
  });
});
