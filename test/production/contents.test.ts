import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { queriesOf } from '../support/queries.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;

const clock = new SteppableClock(new Date('2026-03-20T08:00:00Z'));
let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
});
afterAll(() => service.stop());

const litres = (value: number) => ({ value, unit: 'L' });
const contentsOf = async (path: string): Promise<Json> => (await floor.get(path)).contents as Json;

test('a vessel from empty to finished and packed', async () => {
  const vesselId = await floor.vessel('FV 1');
  const at = `/v1/vessels/${vesselId}`;
  expect(await contentsOf(at)).toEqual({ state: 'empty' });

  const lotId = await floor.lot('sugar-ferment', { code: 'W-1' });
  expect(await contentsOf(`/v1/lots/${lotId}`)).toEqual({ state: 'empty', liquids: [] });
  await floor.gravity(lotId, 1.04, '2026-03-02T08:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: litres(200), occurredAt: '2026-03-02T09:00:00Z' });
  const fresh = await contentsOf(at);
  expect(fresh).toMatchObject({
    state: 'fermenting',
    liquid: {
      lotId,
      lotCode: 'W-1',
      category: 'sugar-ferment',
      volume: litres(200),
      pureAlcohol: litres(0),
      // From 2 March 08:00 to 20 March 08:00 are 18 days.
      lastReading: { kind: 'gravity', gravity: { value: 1.04, scale: 'sg-20-20' }, age: { value: 432, unit: 'h' } },
      // 48 hours after the last gravity.
      next: { code: 'gravity-reading', dueAt: '2026-03-04T08:00:00.000Z' },
    },
  });
  expect(fresh.liquid).not.toHaveProperty('strength');

  await floor.gravity(lotId, 0.997, '2026-03-14T08:00:00Z');
  expect((await contentsOf(at)).state).toBe('fermenting');
  await floor.gravity(lotId, 0.997, '2026-03-16T08:00:00Z');
  expect(await contentsOf(at)).toMatchObject({ state: 'terminal', liquid: { next: { code: 'finding-of-record' } } });

  const finding = await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'mass-balance',
    occurredAt: '2026-03-16T09:00:00Z',
  });
  const found = (finding.strength as { value: number }).value;
  const { expanded } = finding.uncertainty as { expanded: { value: number } };
  const finished = await contentsOf(at);
  expect(finished).toMatchObject({
    state: 'finished',
    liquid: {
      strength: { value: expect.closeTo(found, 4), unit: '%' },
      expandedUncertainty: { value: expect.closeTo(expanded.value, 4), unit: '%' },
      standing: 'of-record',
      // Alcohol of 200 L at that strength.
      pureAlcohol: { value: expect.closeTo(2 * found, 4), unit: 'L' },
    },
  });
  expect(finished.liquid).not.toHaveProperty('next');

  await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId,
    container: 'bottle',
    nominalVolume: litres(0.5),
    count: 390,
    lotMark: 'W-1',
    declaredStrength: { value: Number(found.toFixed(1)), unit: '%' },
    emptied: true,
    occurredAt: '2026-03-18T09:00:00Z',
  });
  expect(await contentsOf(at)).toEqual({ state: 'empty' });
  expect(await contentsOf(`/v1/lots/${lotId}`)).toMatchObject({
    state: 'packed',
    liquids: [],
    packed: { count: 390, volume: litres(195) },
  });
});

test('a lot in two vessels; the lists say the same as the single ones', async () => {
  const [one, two] = [await floor.vessel('T 1'), await floor.vessel('T 2', 'tank')];
  const lotId = await floor.finishedLot(one, {
    litres: 100,
    original: 1.04,
    final: 0.998,
    day: '2026-03-03',
    finishedDay: '2026-03-13',
  });
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: one,
    toVesselId: two,
    volume: litres(40),
    occurredAt: '2026-03-14T09:00:00Z',
  });
  const contents = await contentsOf(`/v1/lots/${lotId}`);
  expect(contents).toMatchObject({
    state: 'finished',
    liquids: [
      { vesselId: one, vesselName: 'T 1', volume: litres(60) },
      { vesselId: two, vesselName: 'T 2', volume: litres(40) },
    ],
  });
  const lots = (await floor.get('/v1/lots')).items as { id: string; contents: Json }[];
  expect(lots.find(({ id }) => id === lotId)?.contents).toEqual(contents);
  const vessels = (await floor.get('/v1/vessels')).items as { id: string; contents: Json }[];
  expect(vessels.find(({ id }) => id === two)?.contents).toEqual(await contentsOf(`/v1/vessels/${two}`));
});

test('a struck reading and a reversed finding count for nothing', async () => {
  const vesselId = await floor.vessel('FV 3');
  const lotId = await floor.lot();
  await floor.gravity(lotId, 1.05, '2026-03-02T08:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: litres(50), occurredAt: '2026-03-02T09:00:00Z' });
  const wrong = await floor.gravity(lotId, 1.02, '2026-03-05T08:00:00Z');
  await floor.post(`/v1/readings/${wrong}/strike`, { reasonCode: 'misread' });
  const { liquid } = await contentsOf(`/v1/vessels/${vesselId}`);
  expect(liquid).toMatchObject({ lastReading: { gravity: { value: 1.05 } } });
  await floor.gravity(lotId, 1.0, '2026-03-12T08:00:00Z');
  const { operationId } = await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'mass-balance',
    occurredAt: '2026-03-12T09:00:00Z',
  });
  expect((await contentsOf(`/v1/vessels/${vesselId}`)).state).toBe('finished');
  await floor.post(`/v1/operations/${String(operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  const after = await contentsOf(`/v1/vessels/${vesselId}`);
  expect(after).toMatchObject({ state: 'fermenting', liquid: { pureAlcohol: litres(0) } });
});

test('a dozen vessels take as many queries as two', async () => {
  const other = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const fill = async (n: number) => {
    const vesselId = await other.vessel(`C ${n}`, 'cask');
    const lotId = await other.lot();
    await other.gravity(lotId, 1.04, '2026-03-02T08:00:00Z');
    await other.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: litres(20), occurredAt: '2026-03-02T09:00:00Z' });
  };
  await fill(1);
  await fill(2);
  const lists = ['/v1/vessels?limit=200', '/v1/lots?limit=200'];
  const few = [0, 0];
  for (const [index, path] of lists.entries()) {
    few[index] = await queriesOf(() => other.get(path));
  }
  await Promise.all(Array.from({ length: 10 }, (_, n) => fill(n + 3)));
  for (const [index, path] of lists.entries()) {
    let items: { contents: { state: string } }[] = [];
    const many = await queriesOf(async () => {
      ({ items } = (await other.get(path)) as { items: typeof items });
    });
    expect(items).toHaveLength(12);
    expect(items.every(({ contents }) => contents.state === 'fermenting')).toBe(true);
    expect([path, many]).toEqual([path, few[index]]);
    expect(many).toBeGreaterThan(1);
  }
});
