import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { APRIL, APRIL_2, MARCH } from '../support/full-producer.js';
import { TestService } from '../support/service.js';
import type { Json } from './changes-world.js';
import { holds, kg, L, materialLot, number, percent, refused } from './changes-world.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
});
afterAll(() => service.stop());

const day = (of: number, hour = 9): string =>
  `2026-03-${String(of).padStart(2, '0')}T${String(hour).padStart(2, '0')}:00:00Z`;

/** 50 kg of sugar and 5 L of a liquid nutrient. */
async function store() {
  const floor = await Floor.open(service, [MARCH, APRIL]);
  const sugar = await materialLot(floor, { name: 'Sugar', kind: 'sugar', fermentable: 'sucrose' }, { mass: kg(50) });
  const nutrient = await materialLot(floor, { name: 'Nutrient', kind: 'nutrient' }, { volume: L(5) });
  const path = `/v1/material-lots/${sugar.materialLotId}`;
  let n = 0;
  const charge = async (mass: number, at = day(2), more: Json = {}) => {
    const vesselId = await floor.vessel(`FV${(n += 1)}`);
    const body = {
      vesselId,
      volume: L(200),
      materials: [{ materialLotId: sugar.materialLotId, mass: kg(mass) }],
      occurredAt: at,
      ...more,
    };
    const lotId = await floor.lot();
    return { lotId, vesselId, ...(await floor.post(`/v1/lots/${lotId}/charges`, body)) } as Json & { lotId: string };
  };
  const onHand = async (id = sugar.materialLotId) => (await floor.get(`/v1/material-lots/${id}`)).onHand;
  return { floor, sugar: sugar.materialLotId, nutrient: nutrient.materialLotId, path, charge, onHand };
}

const belowZero = async (floor: Floor) =>
  ((await floor.get('/v1/material-lots?belowZero=true')).items as { code: string; onHand: Json }[]).map(
    ({ code, onHand }) => [code, onHand],
  );

test('what is used comes off the quantity on hand; below zero it is flagged and listed, and never refused', async () => {
  const { floor, charge, onHand } = await store();
  expect(await onHand()).toEqual(kg(50));
  expect(await charge(50)).toMatchObject({ flags: [] });
  expect(await onHand()).toEqual(kg(0));
  expect(await belowZero(floor)).toEqual([]);
  // 54 of 50 kg; and 18,000 kg of a lot that has none any more.
  const more = await charge(4);
  expect(more.flags).toMatchObject([{ code: 'stock-below-zero' }]);
  expect((more.flags as { detail: string }[])[0].detail).toContain('-4 kg of M-Sugar are on hand: more was taken');
  expect(await belowZero(floor)).toEqual([['M-Sugar', kg(-4)]]);
  const typo = await charge(18_000);
  expect((typo.flags as { detail: string }[])[0].detail).toContain('-18,004 kg of M-Sugar');
  // Reversed, it is on hand again.
  await floor.post(`/v1/operations/${String(typo.operationId)}/reversal`, { reasonCode: 'typing-error' });
  expect(await onHand()).toEqual(kg(-4));
  await holds(floor);
});

test('additions come off in the unit of the lot, negligible ones and doses too; another unit is not counted, and says so', async () => {
  const { floor, sugar, nutrient, charge, onHand } = await store();
  const { lotId, vesselId } = await charge(20);
  const add = (body: Json) =>
    floor.post(`/v1/lots/${lotId}/additions`, { vesselId, purpose: 'nutrient', occurredAt: day(3), ...body });
  expect(await add({ materialLotId: nutrient, volume: { value: 150, unit: 'mL' } })).toMatchObject({
    booked: 'negligible',
    flags: [],
  });
  expect(await onHand(nutrient)).toEqual(L(4.85));
  // 0.5 mL a litre of base for 200 L of wash is 0.1 L; the negligible one before took no litres of the books.
  await add({ materialLotId: nutrient, dose: { per: 'litre-of-base', dose: { value: 0.5, unit: 'mL' } } });
  expect(await onHand(nutrient)).toEqual(L(4.75));
  const weighed = await add({ materialLotId: nutrient, mass: kg(0.1) });
  expect(weighed.flags).toMatchObject([{ code: 'material-not-counted' }]);
  expect(await onHand(nutrient)).toEqual(L(4.75));
  const sweet = await add({ materialLotId: sugar, purpose: 'sugar', mass: { value: 31, unit: 'kg' } });
  expect(sweet.flags).toMatchObject([{ code: 'stock-below-zero' }]);
  expect(await onHand()).toEqual(kg(-1));
});

test('a count says what is on hand, a write-off takes off; entries before a count leave it as it is', async () => {
  const { floor, path, charge, onHand } = await store();
  await charge(20, day(5));
  const counted = await floor.post(`${path}/counts`, { quantity: kg(29.2), occurredAt: day(10) });
  expect(counted).toMatchObject({ kind: 'material-count', quantity: kg(29.2), onHand: kg(29.2), flags: [] });
  expect(number(counted.change)).toBeCloseTo(-0.8, 9);
  expect(await onHand()).toEqual(kg(29.2));
  const wet = await floor.post(`${path}/write-offs`, {
    quantity: { value: 2500, unit: 'g' },
    reasonCode: 'spoilage',
    occurredAt: day(12),
  });
  expect(wet).toMatchObject({ quantity: kg(2.5), change: kg(-2.5), onHand: kg(26.7) });
  // Used before the count, entered late: the count stands.
  await charge(3, day(7));
  expect(await onHand()).toEqual(kg(26.7));
  const early = { quantity: kg(1), reasonCode: 'spill', occurredAt: day(9) };
  expect(await floor.post(`${path}/write-offs`, early)).toMatchObject({ change: kg(0), onHand: kg(26.7) });
  // A count dated between: what was used and written off after it comes off.
  const between = await floor.post(`${path}/counts`, { quantity: kg(30), occurredAt: day(11) });
  expect(between).toMatchObject({ onHand: kg(27.5) });
  // Taken back, the count before holds.
  await floor.post(`/v1/operations/${String(between.operationId)}/reversal`, { reasonCode: 'wrong-lot' });
  expect(await onHand()).toEqual(kg(26.7));
  // None left, and a write-off beyond it: flagged.
  const beyond = await floor.post(`${path}/write-offs`, {
    quantity: kg(26.700001),
    reasonCode: 'spoilage',
    occurredAt: day(20),
  });
  expect(beyond).toMatchObject({ onHand: kg(-0.000001), flags: [{ code: 'stock-below-zero' }] });
  expect(await belowZero(floor)).toEqual([['M-Sugar', kg(-0.000001)]]);
  await holds(floor);
});

test('salt and sugar have no duty status; a material with alcohol keeps its own, and its stock by the books', async () => {
  const { floor, path, sugar } = await store();
  expect(await floor.get(path)).not.toHaveProperty('dutyStatus');
  const { materialId } = await floor.get(path);
  const salt = {
    materialId,
    premisesId: floor.premisesId,
    code: 'S',
    mass: kg(1),
    dutyStatus: 'paid',
    occurredAt: day(1),
  };
  await refused(floor, '/v1/material-lots', salt, {
    code: 'validation-failed',
    pointer: '/dutyStatus',
    rule: 'no-alcohol',
  });
  const spirit = await materialLot(floor, { name: 'Spirit', kind: 'spirit', strength: percent(96) }, { volume: L(20) });
  await floor.post('/v1/movements', {
    kind: 'sample',
    materialLotId: spirit.materialLotId,
    volume: L(0.5),
    occurredAt: day(3),
  });
  expect(await floor.get(`/v1/material-lots/${spirit.materialLotId}`)).toMatchObject({
    dutyStatus: 'suspended',
    onHand: L(19.5),
  });
  const spirits = `/v1/material-lots/${spirit.materialLotId}`;
  await refused(floor, `${spirits}/counts`, { quantity: L(19) }, { code: 'conflict', rule: 'bears-alcohol' });
  await refused(floor, `${spirits}/write-offs`, { quantity: L(1), reasonCode: 'spill' }, { code: 'conflict' });
  const unit = { code: 'validation-failed', pointer: '/quantity/unit', rule: 'unit-of-lot' };
  await refused(floor, `${path}/counts`, { quantity: L(19) }, unit);
  await refused(floor, `${path}/counts`, { quantity: kg(-1) }, { code: 'out-of-range' });
  await refused(floor, `${path}/write-offs`, { quantity: kg(0), reasonCode: 'spoilage' }, { code: 'out-of-range' });
  await refused(
    floor,
    `${path}/write-offs`,
    { quantity: kg(1) },
    { code: 'validation-failed', pointer: '/reasonCode' },
  );
  await refused(
    floor,
    `${path}/counts`,
    { quantity: kg(1), occurredAt: '2026-05-02T00:00:00Z' },
    { code: 'time-ahead' },
  );
  await refused(
    floor,
    `${path}/counts`,
    { quantity: kg(1), occurredAt: '2026-02-02T00:00:00Z' },
    { code: 'period-not-open' },
  );
  const nobody = sugar.replace(/.$/, (last) => (last === '0' ? '1' : '0'));
  await refused(floor, `/v1/material-lots/${nobody}/counts`, { quantity: kg(1) }, { code: 'not-found' });
});

test('of eight uses at once each comes off', async () => {
  const { floor, path, charge, onHand } = await store();
  await Promise.all(Array.from({ length: 8 }, () => charge(5)));
  expect(await onHand()).toEqual(kg(10));
  await floor.post(`${path}/counts`, { quantity: kg(10), occurredAt: day(20) });
  expect(await onHand()).toEqual(kg(10));
  await holds(floor);
});

test('the closing check lists gauges far from the books, more alcohol than the sugar could give, and materials below zero', async () => {
  const { floor, charge } = await store();
  // 17.7 kg of sucrose: 4 · 46.069 / 342.297 = 0.538352 kg of ethanol a kg, by 0.78924 kg/L 0.682114 L, so 12.0734 L at the most.
  const made = await charge(17.7, day(2), { volume: L(177) });
  const { lotId } = made;
  const vesselId = String(made.vesselId);
  await charge(40);
  const [march] = (await floor.get('/v1/periods')).items as { id: string }[];
  const found = async () =>
    (
      (await floor.get(`/v1/periods/${march.id}/closing-check`)).findings as {
        code: string;
        detail: string;
        link?: string;
      }[]
    ).filter(({ code }) =>
      ['gauge-far-from-books', 'alcohol-above-fermentables', 'material-below-zero'].includes(code),
    );
  const certificate = { strength: percent(5), expandedUncertainty: percent(0.1), coverageFactor: 2 };
  await floor.post(`/v1/lots/${lotId}/findings`, { method: 'certificate', certificate, occurredAt: day(10) });
  const gauge = (litres: number, hour: number) =>
    floor.post(`/v1/lots/${lotId}/gauges`, {
      vesselId,
      volume: L(litres),
      occurredAt: day(11, hour),
      reasonCode: 'measuring-error',
    });
  await gauge(176, 8);
  expect((await found()).map(({ code }) => code)).toEqual(['material-below-zero']);
  const tenfold = await gauge(1770, 9);
  const doubts = await found();
  expect(doubts.map(({ code, link }) => [code, link])).toEqual([
    ['gauge-far-from-books', `/v1/operations/${String(tenfold.operationId)}`],
    ['alcohol-above-fermentables', `/v1/lots/${lotId}`],
    ['material-below-zero', expect.stringContaining('/v1/material-lots/')],
  ]);
  // 5 % of the 1,770 L are 88.5 L.
  expect(doubts[1].detail).toContain('88.5 L of pure alcohol');
  expect(doubts[1].detail).toContain('12.07 L at the most');
  // Back to what it was: both gauges are far from the books, the alcohol no longer.
  await gauge(177, 10);
  expect((await found()).map(({ code }) => code)).toEqual([
    'gauge-far-from-books',
    'gauge-far-from-books',
    'material-below-zero',
  ]);
});
