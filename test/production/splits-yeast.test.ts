import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { holds, kg, L, materialLot, number, percent, posted, refused, reportLines } from './changes-world.js';

let service: TestService;
const AT = '2026-03-10T09:00:00Z';
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const newFloor = () => Floor.open(service, [['2026-03-01', '2026-04-01']]);

/** A wash of 1.050 in a fermenter, charged on the second. */
async function fermenting(floor: Floor, category = 'wine') {
  const vesselId = await floor.vessel('F');
  const lotId = await floor.lot(category);
  await floor.gravity(lotId, 1.05, '2026-03-02T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: L(100), occurredAt: '2026-03-02T10:00:00Z' });
  return { lotId, vesselId };
}

test('part of a finished lot goes on under another, with its strength', async () => {
  const floor = await newFloor();
  const { lots, vessels } = await openStock(
    floor,
    '2026-03-01T00:00:00Z',
    [{ vessel: 'A', category: 'wine', litres: 100, volumeU: 0.5, percent: 14, strengthU: 0.1 }],
    [],
  );
  const path = `/v1/lots/${lots[0]}/splits`;
  const [same, other] = [await floor.lot('wine'), await floor.lot('fortified')];
  const [one, two] = [await floor.vessel('B'), await floor.vessel('C')];
  const split = await floor.post(path, {
    fromVesselId: vessels[0],
    toVesselId: one,
    volume: L(40),
    newLotId: same,
    occurredAt: AT,
  });
  // 40 L × 14 %.
  expect(number(split.pureAlcohol)).toBe(5.6);
  expect(split).toMatchObject({ lotId: same, inProcess: false, category: 'wine' });
  const finding = await floor.get(`/v1/findings/${String(split.findingId)}`);
  expect(finding).toMatchObject({ standing: 'of-record', method: { id: 'split' }, compositionId: split.compositionId });
  expect(number(finding.strength)).toBe(14);
  expect((finding.inputs as { original: string }).original).toBeDefined();
  expect(await posted(floor, split.operationId)).toEqual({ 'liquid wine': [0, 0, 0] });
  const moved = await floor.post(path, {
    fromVesselId: vessels[0],
    toVesselId: two,
    newLotId: other,
    occurredAt: '2026-03-11T09:00:00Z',
  });
  expect(await posted(floor, moved.operationId)).toEqual({
    'liquid wine': [-60, -8.4, 0],
    'category-moves wine': [60, 8.4, 0],
    'category-moves fortified': [-60, -8.4, 0],
    'liquid fortified': [60, 8.4, 0],
  });
  await reportLines(floor);
  await holds(floor);
});

test('a part in process keeps the original gravity of the lot it came from', async () => {
  const floor = await newFloor();
  const { lotId, vesselId } = await fermenting(floor);
  const newLotId = await floor.lot('wine');
  const split = await floor.post(`/v1/lots/${lotId}/splits`, {
    fromVesselId: vesselId,
    toVesselId: await floor.vessel('B'),
    volume: L(30),
    newLotId,
    occurredAt: '2026-03-04T09:00:00Z',
  });
  expect(split).toMatchObject({ inProcess: true });
  expect(split.findingId).toBeUndefined();
  await floor.gravity(lotId, 1.0, '2026-03-15T09:00:00Z');
  await floor.gravity(newLotId, 1.0, '2026-03-15T09:00:00Z');
  const find = (id: string) =>
    floor.post(`/v1/lots/${id}/findings`, { method: 'mass-balance', occurredAt: '2026-03-16T09:00:00Z' });
  const [whole, part] = [await find(lotId), await find(newLotId)];
  // The same two gravities of the same wort: the same strength, in 70 L and in 30 L.
  expect(number(part.strength)).toBeCloseTo(number(whole.strength), 12);
  const readings = (await floor.get(`/v1/lots/${lotId}/readings`)).items as { id: string; takenAt: string }[];
  const original = readings.find(({ takenAt }) => takenAt.startsWith('2026-03-02'));
  expect(part.readings).toContainEqual({ readingId: original?.id, use: 'original' });
  const lines = await reportLines(floor);
  expect(lines['wine produced']).toBe(100);
  await holds(floor);
});

test('a yeast crop is a material lot with the alcohol of its liquid, and goes into the next wash', async () => {
  const floor = await newFloor();
  const { lotId, vesselId } = await fermenting(floor);
  const yeast = await materialLot(floor, { name: 'Ale yeast', kind: 'yeast' }, { mass: kg(0.5) });
  const path = `/v1/lots/${lotId}/yeast-crops`;
  const body = {
    vesselId,
    volume: L(4),
    materialId: yeast.materialId,
    materialLotCode: 'Y-G1',
    occurredAt: AT,
  };
  await refused(floor, path, body, { code: 'finding-needed', pointer: '/vesselId' });
  await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'certificate',
    standing: 'provisional',
    certificate: { strength: percent(5), expandedUncertainty: { value: 0.2, unit: '%' }, coverageFactor: 2 },
    occurredAt: '2026-03-09T09:00:00Z',
  });
  const spirit = await materialLot(floor, { name: 'Spirit', kind: 'spirit', strength: percent(96) }, { volume: L(1) });
  await refused(
    floor,
    path,
    { ...body, materialId: spirit.materialId },
    { code: 'conflict', pointer: '/materialId', rule: 'yeast-needed' },
  );
  await refused(floor, path, { ...body, volume: L(101) }, { code: 'insufficient-stock', pointer: '/volume' });
  const crop = await floor.post(path, body);
  // 4 L × 5 %.
  expect(number(crop.pureAlcohol)).toBe(0.2);
  expect(await posted(floor, crop.operationId)).toEqual({
    'liquid wine': [-4, -0.2, 0],
    'category-moves wine': [4, 0.2, 0],
    'category-moves materials': [-4, -0.2, 0],
    'material materials': [4, 0.2, 0],
  });
  expect(await floor.get(`/v1/material-lots/${String(crop.materialLotId)}`)).toMatchObject({
    code: 'Y-G1',
    strength: percent(5),
    quantity: L(4),
  });
  const next = await floor.lot('wine');
  const other = await floor.vessel('G');
  await floor.gravity(next, 1.045, '2026-03-11T08:00:00Z');
  await floor.post(`/v1/lots/${next}/charges`, { vesselId: other, volume: L(50), occurredAt: '2026-03-11T09:00:00Z' });
  const pitched = await floor.post(`/v1/lots/${next}/additions`, {
    vesselId: other,
    purpose: 'other',
    materialLotId: crop.materialLotId,
    volume: L(1),
    occurredAt: '2026-03-11T10:00:00Z',
  });
  expect(number(pitched.pureAlcohol)).toBe(0.05);
  expect(await posted(floor, pitched.operationId)).toMatchObject({
    'material materials': [-1, -0.05, 0],
    'used-as-material wine': [-1, -0.05, 0],
  });
  await reportLines(floor);
  await holds(floor);
});

test('each bad split says what is in the way, and stores nothing', async () => {
  const floor = await newFloor();
  const { lotId, vesselId } = await fermenting(floor);
  const premises = await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
  const far = await floor.vessel('X', 'fermenter', String(premises.id));
  const farLot = String((await floor.post('/v1/lots', { premisesId: premises.id, category: 'wine' })).id);
  const newLotId = await floor.lot('wine');
  const toVesselId = await floor.vessel('B');
  const path = `/v1/lots/${lotId}/splits`;
  const body = { fromVesselId: vesselId, toVesselId, volume: L(10), newLotId, occurredAt: AT };
  const no = (more: object, code: string, pointer: string, rule: string) =>
    refused(floor, path, { ...body, ...more }, { code, pointer, rule });
  await no({ newLotId: lotId }, 'validation-failed', '/newLotId', 'same-lot');
  await no({ toVesselId: vesselId }, 'validation-failed', '/toVesselId', 'same-vessel');
  await no({ toVesselId: far }, 'conflict', '/toVesselId', 'other-premises');
  await no({ newLotId: farLot }, 'conflict', '/newLotId', 'other-premises');
  await no({ volume: L(100.5) }, 'insufficient-stock', '/volume', 'insufficient-stock');
  await no({ fromVesselId: toVesselId, toVesselId: vesselId }, 'insufficient-stock', '/vesselId', 'nothing-there');
  await floor.post(path, body);
  await no({}, 'vessel-in-use', '/toVesselId', 'vessel-in-use');
  await holds(floor);
});
