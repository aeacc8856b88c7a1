import {
  ethanolWaterDensityKgM3,
  massFractionFromVolumePercent,
} from '../../src/alcoholometry/liquids/ethanol-water.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { Movement } from '../../src/excise/movements/movements.dto.js';
import type { StockTake } from '../../src/excise/movements/stock-takes/stock-takes.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import type { Json } from '../production/changes-world.js';
import { holds, kg, L, materialLot, percent, posted, refused } from '../production/changes-world.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { changeSettings } from './chargeable-world.js';

let service: TestService;
const clock = new SteppableClock(new Date('2026-04-02T08:00:00Z'));
beforeAll(async () => {
  service = await TestService.start({ clock });
});
afterAll(() => service.stop());

const celsius = (value: number) => ({ value, unit: 'Cel' });
const EVENING = '2026-03-20T18:00:00Z';

/** 100 L of spirit at 96 % (96 L of pure alcohol), 5 L of a flavouring at 40 % (2 L), sugar without alcohol. */
async function store() {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const spirit = await materialLot(
    floor,
    { name: 'Spirit', kind: 'spirit', strength: percent(96) },
    { volume: L(100), strengthStandardUncertainty: { value: 0.1, unit: '%' } },
  );
  const aroma = await materialLot(
    floor,
    { name: 'Aroma', kind: 'flavouring', strength: percent(40) },
    { volume: L(5) },
  );
  const sugar = await materialLot(floor, { name: 'Dextrose', kind: 'sugar' }, { mass: kg(50) });
  return {
    floor,
    spirit: spirit.materialLotId,
    aroma: aroma.materialLotId,
    sugar: sugar.materialLotId,
  };
}

const spill = (materialLotId: string, volume: number, more: Json = {}): Json => ({
  kind: 'accidental-loss',
  materialLotId,
  volume: L(volume),
  occurredAt: '2026-03-10T12:00:00Z',
  reasonCode: 'leak',
  ...more,
});
const move = (floor: Floor, body: Json) => floor.post('/v1/movements', body) as Promise<unknown> as Promise<Movement>;
const takeOf = (floor: Floor, counts: Json[], more: Json = {}) =>
  floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    occurredAt: EVENING,
    counts,
    ...more,
  }) as Promise<unknown> as Promise<StockTake>;
const reportOf = async (floor: Floor) => {
  const [march] = (await floor.get('/v1/periods')).items as { id: string }[];
  return (await floor.get(`/v1/periods/${march.id}/report`)) as unknown as PeriodReport;
};
const lineOf = ({ lines }: PeriodReport, name: string) => {
  const each = lines.find(({ line }) => line === name);
  return [each?.litres.value, each?.litresOfPureAlcohol.value];
};
/** Litres and litres of pure alcohol of a material lot, as the accounts have them. */
const held = async (floor: Floor, materialLotId: string) => {
  const { items } = (await floor.get('/v1/accounts?limit=200')) as unknown as {
    items: { materialLotId?: string; litres: { value: number }; litresOfPureAlcohol: { value: number } }[];
  };
  const own = items.find((each) => each.materialLotId === materialLotId);
  return [own?.litres.value, own?.litresOfPureAlcohol.value];
};

/** Each kind with its litres and its pure alcohol of a spirit of 96 %, worked by hand. */
const KINDS: readonly [kind: string, line: string, litres: number, pureAlcohol: number, more: Json][] = [
  ['sample', 'samples', 0.05, 0.048, {}],
  ['process-loss', 'process-loss', 1.5, 1.44, {}],
  ['evaporation', 'evaporation', 0.25, 0.24, {}],
  ['accidental-loss', 'accidental-loss', 1, 0.96, { reasonCode: 'leak' }],
  ['theft', 'theft', 2, 1.92, { reasonCode: 'theft', evidence: { report: 'P-17' } }],
  ['transit-loss', 'transit-loss', 0.2, 0.192, { reasonCode: 'leak', evidence: { document: 'DOC-3' } }],
  [
    'destruction',
    'destroyed',
    3,
    2.88,
    { reasonCode: 'spoilage', evidence: { method: 'poured off, supervised' }, witness: 'A. Witness (invented)' },
  ],
  [
    'dispatch-suspended',
    'dispatched-suspended',
    10,
    9.6,
    { counterparty: 'Spirit merchant (invented)', evidence: { document: 'DOC-1' } },
  ],
  ['export', 'exported', 2, 1.92, { evidence: { document: 'DOC-2' } }],
];

test('each kind draws alcohol pro rata, to its own line, and is listed with the material lot', async () => {
  const { floor, spirit, aroma } = await store();
  for (const [kind, line, litres, pureAlcohol, more] of KINDS) {
    const made = await move(floor, {
      kind,
      materialLotId: spirit,
      volume: L(litres),
      occurredAt: '2026-03-10T12:00:00Z',
      ...more,
    });
    expect(made).toMatchObject({
      materialLotId: spirit,
      litres: { value: litres },
      litresOfPureAlcohol: { value: pureAlcohol },
    });
    expect(Object.keys(made)).not.toEqual(expect.arrayContaining(['lotId']));
    expect(await posted(floor, made.id)).toEqual({
      [`${line} materials`]: [litres, 0, pureAlcohol],
      'material materials': [-litres, 0, -pureAlcohol],
    });
  }
  // 20 L out of 100 L, 19.2 L of pure alcohol out of 96 L; the flavouring stands as it came in.
  expect(await held(floor, spirit)).toEqual([80, 76.8]);
  expect(await held(floor, aroma)).toEqual([5, 2]);
  const listed = (await floor.get(`/v1/movements?materialLotId=${spirit}`)).items as Movement[];
  expect(listed.map(({ kind }) => kind)).toEqual(KINDS.map(([kind]) => kind));
  expect(listed.every(({ materialLotId }) => materialLotId === spirit)).toBe(true);
  expect((await floor.get(`/v1/movements?materialLotId=${aroma}`)).items).toEqual([]);
  const destroyed = listed.find(({ kind }) => kind === 'destruction');
  expect(await floor.get(`/v1/movements/${String(destroyed?.id)}`)).toMatchObject({
    materialLotId: spirit,
    witness: 'A. Witness (invented)',
    evidence: { method: 'poured off, supervised' },
  });
  const report = await reportOf(floor);
  for (const [, line, litres, pureAlcohol] of KINDS) {
    expect([line, ...lineOf(report, line)]).toEqual([line, -litres, -pureAlcohol]);
  }
  expect(report.losses.find(({ line }) => line === 'theft')).toMatchObject({
    category: 'materials',
    reasonCode: 'theft',
    day: '2026-03-10',
  });
  expect(report.reconciliation.balances).toBe(true);
  expect(report.categories.filter(({ balances }) => !balances)).toEqual([]);
  await holds(floor);
});

test('a yeast crop is poured off with the fermented alcohol that it took', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const vesselId = await floor.vessel('FV-1');
  const lotId = await floor.finishedLot(vesselId, {
    litres: 100,
    original: 1.05,
    final: 1.0,
    day: '2026-03-02',
    finishedDay: '2026-03-09',
  });
  const yeast = await materialLot(floor, { name: 'Yeast', kind: 'yeast' }, { mass: kg(0.5) });
  const crop = await floor.post(`/v1/lots/${lotId}/yeast-crops`, {
    vesselId,
    volume: L(4),
    materialId: yeast.materialId,
    materialLotCode: 'Y-1',
    occurredAt: '2026-03-10T12:00:00Z',
  });
  const materialLotId = String(crop.materialLotId);
  const [, alcohol] = await held(floor, materialLotId);
  const made = await move(floor, {
    kind: 'process-loss',
    materialLotId,
    volume: L(4),
    occurredAt: '2026-03-12T12:00:00Z',
  });
  expect(alcohol).toBeGreaterThan(0.2);
  expect(await posted(floor, made.id)).toEqual({
    'process-loss materials': [4, alcohol, 0],
    'material materials': [-4, -(alcohol ?? 0), 0],
  });
  expect(await held(floor, materialLotId)).toEqual([0, 0]);
  await holds(floor);
});

test('a loss of spirit is chargeable by the producer’s rule, at the strength of the books', async () => {
  const { floor, spirit } = await store();
  await changeSettings(floor, { chargeableLosses: [{ line: 'accidental-loss' }] });
  await move(floor, spill(spirit, 1));
  const { deficiency } = await reportOf(floor);
  expect(deficiency.entries).toMatchObject([
    {
      line: 'accidental-loss',
      category: 'materials',
      litres: { value: 1 },
      litresOfPureAlcohol: { value: 0.96 },
      strengthForDuty: { value: 96, unit: '%' },
    },
  ]);
});

test('it is reversed, and corrected in one call', async () => {
  const { floor, spirit } = await store();
  const wrong = await move(floor, spill(spirit, 10));
  const right = await move(floor, spill(spirit, 1, { corrects: { operationId: wrong.id, reasonCode: 'misread' } }));
  expect(await held(floor, spirit)).toEqual([99, 95.04]);
  const listed = (await floor.get(`/v1/movements?materialLotId=${spirit}`)).items as Movement[];
  expect(listed.map(({ id, reversed }) => [id, reversed])).toEqual([
    [wrong.id, true],
    [right.id, undefined],
  ]);
  await floor.post(`/v1/operations/${right.id}/reversal`, { reasonCode: 'did-not-happen' });
  expect(await held(floor, spirit)).toEqual([100, 96]);
  expect(lineOf(await reportOf(floor), 'accidental-loss')).toEqual([0, 0]);
  await holds(floor);
});

test('it is measured beside the book figure of its moment; the report says when it was last counted', async () => {
  const { floor, spirit, aroma } = await store();
  await move(floor, spill(spirit, 10));
  // Used after the stock-take and entered before it: the book figure of the moment is 90 L, not 85 L.
  await move(floor, spill(spirit, 5, { occurredAt: '2026-03-25T12:00:00Z' }));
  const made = await takeOf(floor, [
    {
      materialLotId: spirit,
      volume: L(88),
      temperature: celsius(20),
      standardUncertainty: { value: 0.2, unit: 'L' },
      reasonCode: 'evaporation',
    },
    { materialLotId: aroma, volume: L(5.1), temperature: celsius(20) },
  ]);
  // 2 L of spirit short: 1.92 L of pure alcohol; 0.1 L of flavouring more: 0.04 L.
  expect(made.counts).toMatchObject([
    {
      materialLotId: spirit,
      category: 'materials',
      book: { value: 90 },
      counted: { value: 88 },
      difference: { value: -2 },
      differenceOfPureAlcohol: { value: -1.92 },
      explained: true,
    },
    { materialLotId: aroma, difference: { value: 0.1 }, differenceOfPureAlcohol: { value: 0.04 }, explained: false },
  ]);
  expect(await held(floor, spirit)).toEqual([83, 79.68]);
  expect(await held(floor, aroma)).toEqual([5.1, 2.04]);
  const kept = (await floor.get(`/v1/stock-takes/${made.id}`)) as unknown as StockTake;
  expect(kept.counts).toEqual(made.counts);
  const report = await reportOf(floor);
  expect(lineOf(report, 'stock-shortage')).toEqual([-2, -1.92]);
  expect(lineOf(report, 'stock-surplus')).toEqual([0.1, 0.04]);
  expect(report.stockDifferences.map(({ product, litres, explained }) => [product, litres.value, explained])).toEqual([
    ['Spirit M-Spirit', -2, true],
    ['Aroma M-Aroma', 0.1, false],
  ]);
  const items = new Map(report.stock.items.map((each) => [each.materialLotId, each]));
  expect([items.get(spirit)?.lastCountedAt, items.get(aroma)?.lastCountedAt]).toEqual(
    Array(2).fill('2026-03-20T18:00:00.000Z'),
  );
  // 0.2 L as stated and a temperature read to ± 0.5 °C rectangular over 88 L; what was drawn since leaves what the measure was unsure by. Spirit of
  // 96 % vol expands by 1.07 per thousand and kelvin (R 22).
  const density = (celsius: number) => ethanolWaterDensityKgM3(massFractionFromVolumePercent(96), celsius);
  const expansion = (density(19.5) - density(20.5)) / density(20);
  expect(expansion).toBeCloseTo(1.07e-3, 5);
  const u = 1.959964 * Math.hypot(0.2, expansion * (0.5 / Math.sqrt(3)) * 88);
  expect(Math.abs((items.get(spirit)?.expandedUncertainty.litres.value ?? 0) - u)).toBeLessThan(2e-6);
  expect(report.reconciliation.balances).toBe(true);
  await holds(floor);
});

test('warm spirit is less at 20 °C; all gone, and found again at the strength that it came in with', async () => {
  const { floor, spirit } = await store();
  const warm = await takeOf(floor, [{ materialLotId: spirit, volume: L(100), temperature: celsius(30) }]);
  // 96 % vol: density 807.42 kg/m³ at 20 °C; R 22 has it expand by about 1.07 ‰ a kelvin.
  expect(warm.counts[0].counted.value).toBeGreaterThan(98.8);
  expect(warm.counts[0].counted.value).toBeLessThan(99.05);
  await takeOf(floor, [{ materialLotId: spirit, volume: L(0), reasonCode: 'leak' }], {
    occurredAt: '2026-03-21T18:00:00Z',
  });
  expect(await held(floor, spirit)).toEqual([0, 0]);
  const again = await takeOf(
    floor,
    [{ materialLotId: spirit, volume: L(25), temperature: celsius(20), reasonCode: 'counting-error' }],
    { occurredAt: '2026-03-22T18:00:00Z' },
  );
  expect(again.counts[0]).toMatchObject({ difference: { value: 25 }, differenceOfPureAlcohol: { value: 24 } });
  expect(await held(floor, spirit)).toEqual([25, 24]);
  await holds(floor);
});

test('a spill found out after the count explains it: the count stands, the difference is smaller', async () => {
  const { floor, spirit } = await store();
  const made = await takeOf(floor, [{ materialLotId: spirit, volume: L(97), temperature: celsius(20) }]);
  const [{ operationId }] = made.counts;
  const late = await service.call('post', '/v1/movements', { key: floor.key, body: spill(spirit, 2) });
  expect([problemOf(late).code, late.body.operation]).toEqual(['assertion-in-the-way', operationId]);
  const moved = await move(floor, spill(spirit, 2, { explains: operationId }));
  expect(moved.explains).toBe(operationId);
  expect(await held(floor, spirit)).toEqual([97, 93.12]);
  const report = await reportOf(floor);
  expect(lineOf(report, 'accidental-loss')).toEqual([-2, -1.92]);
  expect(lineOf(report, 'stock-shortage')).toEqual([-1, -0.96]);
  expect(report.stockDifferences).toMatchObject([{ litres: { value: -1 }, explained: false }]);
  await holds(floor);
});

test('a movement that cannot be is refused with its code, and nothing is stored', async () => {
  const { floor, spirit, sugar, aroma } = await store();
  const other = await store();
  const count = await takeOf(floor, [{ materialLotId: aroma, volume: L(5), temperature: celsius(20) }]);
  const vesselId = await floor.vessel('T-1');
  const lotId = await floor.lot();
  const unknown = '018f0000-0000-7000-8000-000000000000';
  const refusals: [body: Json, code: string, pointer: string, rule: string][] = [
    [spill(spirit, 100.000001), 'insufficient-stock', '/volume', 'insufficient-stock'],
    [spill(spirit, 1, { packagedLotId: unknown }), 'validation-failed', '/packagedLotId', 'one-of-two'],
    [spill(spirit, 1, { count: 1 }), 'validation-failed', '/count', 'one-of-two'],
    [spill(spirit, 1, { lotId }), 'validation-failed', '/lotId', 'one-of-two'],
    [spill(spirit, 1, { vesselId }), 'validation-failed', '/vesselId', 'one-of-two'],
    [spill(spirit, 1, { premisesId: floor.premisesId }), 'validation-failed', '/premisesId', 'packed-only'],
    [spill(spirit, 1, { dutyStatus: 'paid' }), 'validation-failed', '/dutyStatus', 'packed-only'],
    [spill(spirit, 1, { serials: ['K-1'] }), 'validation-failed', '/serials', 'packed-only'],
    [spill(spirit, 1, { volume: undefined }), 'validation-failed', '/volume', 'required'],
    [spill(spirit, 1, { reasonCode: undefined }), 'validation-failed', '/reasonCode', 'required'],
    [
      spill(spirit, 1, { kind: 'destruction', reasonCode: 'spoilage', witness: 'W' }),
      'validation-failed',
      '/evidence/method',
      'required',
    ],
    [spill(spirit, 1, { kind: 'release' }), 'not-packed', '/materialLotId', 'not-packed'],
    [spill(spirit, 1, { kind: 'own-use' }), 'not-packed', '/materialLotId', 'not-packed'],
    [
      spill(spirit, 1, { kind: 'return', counterparty: 'Bar (invented)' }),
      'not-packed',
      '/materialLotId',
      'not-packed',
    ],
    [spill(spirit, 1, { kind: 'packaging-loss' }), 'validation-failed', '/kind', 'not-of-materials'],
    [spill(spirit, 1, { kind: 'filtering-loss' }), 'validation-failed', '/kind', 'not-of-materials'],
    [spill(spirit, 1, { kind: 'yeast-and-trub' }), 'validation-failed', '/kind', 'not-of-materials'],
    [spill(sugar, 1), 'conflict', '/materialLotId', 'no-alcohol'],
    [spill(unknown, 1), 'not-found', '/materialLotId', 'not-found'],
    [spill(other.spirit, 1), 'not-found', '/materialLotId', 'not-found'],
    [spill(spirit, 1, { explains: count.counts[0].operationId }), 'conflict', '/explains', 'other-account'],
  ];
  for (const [body, code, pointer, rule] of refusals) {
    await refused(floor, '/v1/movements', body, { code, pointer, rule });
  }
  // It came in on the first of March at one o'clock.
  const early = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: spill(spirit, 1, { occurredAt: '2026-03-01T00:30:00Z' }),
  });
  const { operationId } = await floor.get(`/v1/material-lots/${spirit}`);
  expect([problemOf(early).code, early.body.operation]).toEqual(['assertion-in-the-way', operationId]);
  expect(await held(floor, spirit)).toEqual([100, 96]);
});

test('a count that cannot be is refused with its code, and nothing is stored', async () => {
  const { floor, spirit, sugar, aroma } = await store();
  const other = await store();
  const hill = await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
  const vesselId = await floor.vessel('T-1');
  const lotId = await floor.lot();
  const unknown = '018f0000-0000-7000-8000-000000000000';
  const one = { materialLotId: spirit, volume: L(99), temperature: celsius(20) };
  await takeOf(floor, [{ ...one, materialLotId: aroma, volume: L(5) }]);
  const wrong = await floor.post('/v1/material-lots', {
    materialId: String((await floor.get(`/v1/material-lots/${spirit}`)).materialId),
    premisesId: floor.premisesId,
    code: 'M-2',
    volume: L(1),
    occurredAt: '2026-03-01T01:00:00Z',
  });
  await floor.post(`/v1/operations/${String(wrong.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  const refusals: [counts: Json[], more: Json, code: string, pointer: string, rule: string][] = [
    [[one, one], {}, 'validation-failed', '/counts/1', 'not-unique'],
    [[{ ...one, packagedLotId: unknown, count: 1 }], {}, 'validation-failed', '/counts/0', 'one-of-two'],
    [[{ ...one, lotId, vesselId }], {}, 'validation-failed', '/counts/0', 'one-of-two'],
    [[{ ...one, dutyStatus: 'suspended' }], {}, 'validation-failed', '/counts/0/dutyStatus', 'packed-only'],
    [[{ materialLotId: spirit }], {}, 'validation-failed', '/counts/0/volume', 'required'],
    [[{ ...one, materialLotId: sugar }], {}, 'conflict', '/counts/0/materialLotId', 'no-alcohol'],
    [[{ ...one, materialLotId: unknown }], {}, 'not-found', '/counts/0/materialLotId', 'not-found'],
    [[{ ...one, materialLotId: other.spirit }], {}, 'not-found', '/counts/0/materialLotId', 'not-found'],
    [[{ ...one, instrumentId: unknown }], {}, 'not-found', '/counts/0/instrumentId', 'not-found'],
    [[one], { premisesId: hill.id }, 'conflict', '/counts/0/materialLotId', 'other-premises'],
    [[{ ...one, materialLotId: aroma }], {}, 'conflict', '/counts/0', 'counted-already'],
    [[one], { occurredAt: '2026-03-01T00:30:00Z' }, 'conflict', '/counts/0/materialLotId', 'never-there'],
    [[{ ...one, materialLotId: wrong.id }], {}, 'conflict', '/counts/0/materialLotId', 'never-there'],
  ];
  for (const [counts, more, code, pointer, rule] of refusals) {
    const body = { premisesId: floor.premisesId, occurredAt: EVENING, counts, ...more };
    await refused(floor, '/v1/stock-takes', body, { code, pointer, rule });
  }
  await refused(
    floor,
    '/v1/stock-takes',
    { premisesId: floor.premisesId, occurredAt: EVENING, counts: [{ ...one, volume: L(-1) }] },
    { code: 'out-of-range' },
  );
  expect(await held(floor, spirit)).toEqual([100, 96]);
});
