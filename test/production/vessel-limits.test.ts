import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { APRIL, APRIL_2, MARCH } from '../support/full-producer.js';
import { TestService } from '../support/service.js';
import type { Json } from './changes-world.js';
import { holds, L, materialLot, number, percent, refused } from './changes-world.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
});
afterAll(() => service.stop());

const AT = '2026-03-10T09:00:00Z';

/** 100 L of wine at 10 % in T1, 50 L at 12 % in T2, and an empty vessel T3. */
async function threeTanks() {
  const floor = await Floor.open(service, [MARCH, APRIL]);
  const { lots, vessels } = await openStock(
    floor,
    '2026-03-01T00:00:00Z',
    [
      { vessel: 'T1', category: 'wine', litres: 100, volumeU: 0.5, percent: 10, strengthU: 0.1 },
      { vessel: 'T2', category: 'wine', litres: 50, volumeU: 0.5, percent: 12, strengthU: 0.1 },
    ],
    [],
  );
  const third = await floor.vessel('T3');
  return { floor, lots, t1: vessels[0], t2: vessels[1], t3: third };
}

const setCapacity = async (floor: Floor, vesselId: string, litres: number): Promise<void> => {
  const { version } = await floor.get(`/v1/vessels/${vesselId}`);
  await service.expect(200, 'patch', `/v1/vessels/${vesselId}`, {
    key: floor.key,
    body: { capacity: L(litres) },
    headers: { 'if-match': `"v${String(version)}"` },
  });
};

test('whatever puts more into a vessel than it can hold is refused in plain words, and enters once the capacity is put right', async () => {
  const { floor, lots, t1, t2, t3 } = await threeTanks();
  await setCapacity(floor, t1, 100);
  await setCapacity(floor, t3, 40);
  const spirit = await materialLot(floor, { name: 'Spirit', kind: 'spirit', strength: percent(96) }, { volume: L(60) });
  const syrup = await materialLot(floor, { name: 'Syrup', kind: 'sugar' }, { volume: L(20) });
  const fresh = await floor.lot('wine');
  const over = (path: string, body: Json, pointer: string) =>
    refused(floor, path, { occurredAt: AT, ...body }, { code: 'over-capacity', pointer, rule: 'over-capacity' });
  const [first, second] = lots.map((lot) => `/v1/lots/${lot}`);

  const charged = await over(`/v1/lots/${fresh}/charges`, { vesselId: t3, volume: L(40.000001) }, '/vesselId');
  expect(charged.detail).toBe(
    'T3 can hold 40 L. With this entry it would hold 40.000001 L on 10 March 2026 at 09:00. Check the volume and its unit; if they are right, put the capacity of the vessel right first.',
  );
  expect(charged).toMatchObject({ vessel: t3, capacity: L(40), contents: L(40.000001) });
  await over(
    `/v1/lots/${fresh}/spirit-charges`,
    { vesselId: t3, spirits: [{ materialLotId: spirit.materialLotId, volume: L(30) }], water: L(20) },
    '/vesselId',
  );
  await over(`${first}/transfers`, { fromVesselId: t1, toVesselId: t3, volume: L(41) }, '/toVesselId');
  await over(`${first}/splits`, { newLotId: fresh, fromVesselId: t1, toVesselId: t3, volume: L(41) }, '/toVesselId');
  await over(`${first}/dilutions`, { vesselId: t1, water: L(1) }, '/vesselId');
  await over(
    `${first}/additions`,
    { vesselId: t1, purpose: 'sugar', materialLotId: syrup.materialLotId, volume: L(5), extract: 20 },
    '/vesselId',
  );
  await over(`${first}/gauges`, { vesselId: t1, volume: L(100.5) }, '/vesselId');
  const blend = (volumes: number[]) => ({
    lotId: fresh,
    vesselId: t3,
    components: [
      { vesselId: t1, volume: L(volumes[0]) },
      { vesselId: t2, volume: L(volumes[1]) },
    ],
  });
  await over('/v1/blends', blend([30, 30]), '/vesselId');
  await over(
    '/v1/stock-takes',
    {
      premisesId: floor.premisesId,
      counts: [{ lotId: lots[0], vesselId: t1, volume: L(101), reasonCode: 'counting-error' }],
    },
    '/counts/0/vesselId',
  );
  // At the capacity to the last microlitre it goes in; a capacity put right lets the rest in; no capacity is no limit.
  await floor.post(`${second}/transfers`, { fromVesselId: t2, toVesselId: t3, volume: L(40), occurredAt: AT });
  await setCapacity(floor, t1, 101);
  await floor.post(`${first}/dilutions`, { vesselId: t1, water: L(0.5), occurredAt: AT });
  await floor.post(`${second}/gauges`, {
    vesselId: t2,
    volume: L(5000),
    reasonCode: 'measuring-error',
    occurredAt: AT,
  });
  await holds(floor);
});

test('an opening and an arrival are held to the capacity as well', async () => {
  const { floor, lots, t1, t3 } = await threeTanks();
  await setCapacity(floor, t3, 40);
  const hill = String((await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' })).id);
  await floor.post('/v1/periods', { premisesId: hill, startsOn: MARCH[0], endsBefore: MARCH[1] });
  const h1 = await floor.vessel('H1', 'tank', hill);
  await setCapacity(floor, h1, 40);
  const there = String((await floor.post('/v1/lots', { premisesId: hill, category: 'wine' })).id);
  const over = { code: 'over-capacity', rule: 'over-capacity' };
  const liquids = [{ lotId: there, vesselId: h1, volume: L(50), strength: percent(10) }];
  await refused(
    floor,
    '/v1/openings',
    { premisesId: hill, occurredAt: '2026-03-01T00:00:00Z', liquids },
    {
      ...over,
      pointer: '/liquids/0/vesselId',
    },
  );
  const transit = await floor.post('/v1/transits', {
    lotId: lots[0],
    vesselId: t1,
    volume: L(41),
    toPremisesId: hill,
    document: 'DOC-1',
    occurredAt: AT,
  });
  const arrival = { lotId: there, vesselId: h1, volume: L(41), occurredAt: '2026-03-11T09:00:00Z' };
  await refused(floor, `/v1/transits/${String(transit.id)}/arrival`, arrival, { ...over, pointer: '/vesselId' });
  await setCapacity(floor, h1, 41);
  await floor.post(`/v1/transits/${String(transit.id)}/arrival`, arrival);
  await holds(floor);
});

test('a vessel is held to its capacity at every later moment, and what only takes out is never refused', async () => {
  const { floor, lots, t1, t2, t3 } = await threeTanks();
  const [first, second] = lots.map((lot) => `/v1/lots/${lot}`);
  const into3 = (volume: number, day: number) => ({
    fromVesselId: t1,
    toVesselId: t3,
    volume: L(volume),
    occurredAt: `2026-03-${day}T09:00:00Z`,
  });
  await setCapacity(floor, t3, 40);
  await floor.post(`${first}/transfers`, into3(30, 20));
  // Dated back before the 30 L: on the 15th it would fit, from the 20th on it would not.
  const late = await refused(floor, `${first}/transfers`, into3(11, 15), {
    code: 'over-capacity',
    pointer: '/toVesselId',
    rule: 'over-capacity',
  });
  expect(late.detail).toContain('41 L on 20 March 2026 at 09:00');
  await floor.post(`${first}/transfers`, into3(10, 15));
  // Set too low afterwards: what takes out goes on, and a gauge that finds less; what puts in does not.
  await setCapacity(floor, t3, 20);
  const out = { fromVesselId: t3, toVesselId: t1, volume: L(5), occurredAt: '2026-03-21T09:00:00Z' };
  await floor.post(`${first}/transfers`, out);
  await floor.post(`${first}/gauges`, { vesselId: t3, volume: L(34.8), occurredAt: '2026-03-22T09:00:00Z' });
  await refused(floor, `${first}/transfers`, into3(1, 23), { code: 'over-capacity', pointer: '/toVesselId' });
  // A reversal puts liquid back: refused where the vessel cannot hold it any more.
  const racked = await floor.post(`${second}/transfers`, {
    fromVesselId: t2,
    toVesselId: await floor.vessel('T4'),
    volume: L(10),
    occurredAt: '2026-03-12T09:00:00Z',
  });
  await setCapacity(floor, t2, 45);
  await refused(
    floor,
    `/v1/operations/${String(racked.operationId)}/reversal`,
    { reasonCode: 'wrong-vessel' },
    {
      code: 'over-capacity',
    },
  );
  await holds(floor);
});

test('a gauge far from the books needs a reason: beyond its own U and the usual share, in either direction', async () => {
  const { floor, lots, t1 } = await threeTanks();
  const path = `/v1/lots/${lots[0]}/gauges`;
  let hour = 9;
  const gauge = (litres: number, u: number, more: Json = {}) => ({
    vesselId: t1,
    volume: L(litres),
    temperature: { value: 20, unit: 'Cel' },
    standardUncertainty: L(u),
    occurredAt: `2026-03-10T${String(hour++).padStart(2, '0')}:00:00Z`,
    ...more,
  });
  const needed = { code: 'reason-needed', pointer: '/reasonCode', rule: 'reason-needed' };
  // 1,000 L were read for 100: the books are ten times as wrong as they were right.
  const tenfold = await refused(floor, path, gauge(1000, 0.5), needed);
  expect(tenfold.detail).toBe(
    'The books have 100 L in the vessel, and 1,000 L were measured; up to 5 L of difference needs no reason.',
  );
  expect(tenfold).toMatchObject({ bookVolume: L(100), measuredVolume: L(1000), limit: L(5) });
  // 5 % of 100 L is 5 L: 105 L needs none, 105.000001 and 94.999999 L do.
  await refused(floor, path, gauge(105.000001, 0.5), needed);
  await refused(floor, path, gauge(94.999999, 0.5), needed);
  const at = await floor.post(path, gauge(105, 0.5));
  expect(at).toMatchObject({ flags: [], difference: L(5) });
  // Now 105 L. A gauge of u = 4 L has U = 1.96 · 4 = 7.84 L (k of the normal distribution for 95 %, JCGM 100 table G.1): 7 L lie within, 8.1 L do not.
  await floor.post(path, gauge(98, 4));
  await refused(floor, path, gauge(106.1, 4), needed);
  const explained = await floor.post(path, gauge(106.1, 4, { reasonCode: 'residue' }));
  expect(explained.flags).toMatchObject([{ code: 'gauge-difference' }]);
  expect(await floor.get(`/v1/operations/${String(explained.operationId)}`)).toMatchObject({
    reasonCode: 'residue',
  });
  expect(number(explained.difference)).toBeCloseTo(8.1, 6);
  await holds(floor);
});

test('the producer sets the usual difference of a gauge', async () => {
  const { floor, lots, t1 } = await threeTanks();
  const { settings, version } = await floor.get('/v1/producer');
  await service.expect(200, 'patch', '/v1/producer', {
    key: floor.key,
    body: { settings: { ...(settings as Json), usualGaugeDifference: percent(1) } },
    headers: { 'if-match': `"v${String(version)}"` },
  });
  const gauge = { vesselId: t1, volume: L(102), standardUncertainty: L(0.1), occurredAt: AT };
  await refused(floor, `/v1/lots/${lots[0]}/gauges`, gauge, { code: 'reason-needed', pointer: '/reasonCode' });
  await floor.post(`/v1/lots/${lots[0]}/gauges`, { ...gauge, volume: L(101) });
});

test('what a run does not fill stays in the vessel; an unusual loss needs a reason; a small rest is offered for clearing', async () => {
  const { floor, lots, t1, t2 } = await threeTanks();
  const path = `/v1/lots/${lots[0]}/packagings`;
  const run = (count: number, more: Json = {}) => ({
    vesselId: t1,
    container: 'bottle',
    nominalVolume: L(0.5),
    count,
    declaredStrength: percent(10),
    occurredAt: AT,
    ...more,
  });
  // 60 bottles out of 100 L: 30 L in bottles, 70 L stay.
  const first = await floor.post(path, run(60));
  expect(first).toMatchObject({ loss: L(0), rest: L(70), flags: [] });
  // 20 bottles and all the rest gone: 60 of 70 L would be the loss, and 3 % of 70 L, 2.1 L, are usual.
  const needed = { code: 'reason-needed', pointer: '/reasonCode', rule: 'reason-needed' };
  const lost = await refused(floor, path, run(20, { emptied: true }), needed);
  expect(lost.detail).toBe('60 L of 70 L would be the loss of this run; up to 2.1 L needs no reason.');
  // 95 bottles, 47.5 L, with 1.5 L of 49 L lost: more than 1.47 L. Containers are counted, so the U of the gauge stays with the rest.
  await refused(floor, path, run(95, { loss: L(1.5) }), needed);
  const usual = await floor.post(path, run(95, { loss: L(1.46) }));
  expect(usual).toMatchObject({ loss: L(1.46), rest: L(21.04), flags: [] });
  const spilt = await floor.post(path, run(20, { loss: L(1), reasonCode: 'spill' }));
  expect(spilt).toMatchObject({ loss: L(1), rest: L(10.04), flags: [{ code: 'unusual-loss' }] });
  // 20 bottles more leave 0.04 L, under the U of the volume that the books began with, 1.96 · 0.5 L.
  const last = await floor.post(path, run(20));
  expect(last).toMatchObject({ rest: L(0.04), flags: [{ code: 'rest-below-uncertainty' }] });
  const [{ detail }] = last.flags as { detail: string }[];
  expect(detail).toBe(
    `By the books 0.04 L remain in the vessel, less than the uncertainty of its gauge (0.98 L). If it is empty, clear it: POST /v1/movements with kind packaging-loss, this lotId, vesselId ${t1} and volume 0.04 L.`,
  );
  const cleared = { kind: 'packaging-loss', lotId: lots[0], vesselId: t1, volume: L(0.04), occurredAt: AT };
  await floor.post('/v1/movements', cleared);
  const none = await floor.post(path, run(1), 409);
  expect(none.code).toBe('insufficient-stock');
  // A vessel that a run emptied with a usual loss: no doubt at all.
  const emptied = await floor.post(
    `/v1/lots/${lots[1]}/packagings`,
    run(98, { vesselId: t2, emptied: true, declaredStrength: percent(12) }),
  );
  expect(emptied).toMatchObject({ loss: L(1), rest: L(0), flags: [] });
  await holds(floor);
});
