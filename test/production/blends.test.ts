import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { holds, L, number, posted, refused, reportLines } from './changes-world.js';

let service: TestService;
const START = '2026-03-01T00:00:00Z';
const AT = '2026-03-10T09:00:00Z';
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

/** Three tanks: A 100 L of 14 %, B 200 L of 5 %, C 50 L of another category at 10 %, the strengths without uncertainty of the volume. */
async function threeTanks() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const tank = (vessel: string, category: string, litres: number, strength: number) => ({
    vessel,
    category,
    litres,
    volumeU: 0,
    percent: strength,
    strengthU: 0.1,
  });
  const { lots, vessels } = await openStock(
    floor,
    START,
    [tank('A', 'wine', 100, 14), tank('B', 'wine', 200, 5), tank('C', 'spirit-drink', 50, 10)],
    [],
  );
  return { floor, lots, vessels };
}

test('two finished lots become one with a strength of record', async () => {
  const { floor, lots, vessels } = await threeTanks();
  const lotId = await floor.lot('wine');
  const answer = await floor.post('/v1/blends', {
    lotId,
    vesselId: vessels[1],
    components: [{ vesselId: vessels[0], volume: L(50) }, { vesselId: vessels[1] }],
    occurredAt: AT,
  });
  // 50 L × 14 % = 7 L and 200 L × 5 % = 10 L of pure alcohol.
  expect(number(answer.pureAlcohol)).toBe(17);
  // R 22 at 20 °C: 14 % vol 0.980082, 5 % vol 0.991055 kg/L; 49.0041 + 198.2110 = 247.2151 kg. With 17 L × 0.789239 = 13.41706 kg of ethanol
  // that is 5.42728 % by mass, 0.988690 kg/L: 250.0431 L, so 0.0431 L more than the parts.
  const change = number(answer.volumeChange);
  expect(change).toBeCloseTo(0.0431, 4);
  expect(number(answer.volume)).toBeCloseTo(250 + change, 6);
  expect(number(answer.strength)).toBeCloseTo(1700 / (250 + change), 9);
  // u: (50 × 0.1 %)² + (200 × 0.1 %)² = 0.05² + 0.2² L², over 250 L: 0.0825 % vol; twice 0.98 of that is U.
  expect((answer.expandedUncertainty as { value: number }).value).toBeCloseTo(1.96 * 0.0825, 2);
  expect(answer.inProcess).toBe(false);
  expect(await floor.get(`/v1/findings/${String(answer.findingId)}`)).toMatchObject({
    standing: 'of-record',
    method: { id: 'mixture' },
    lotId,
  });
  expect(await posted(floor, answer.operationId)).toEqual({
    'liquid wine': [change, 0, 0],
    'mixing-volume-change wine': [-change, 0, 0],
  });
  const { postings } = (await floor.get(`/v1/operations/${String(answer.operationId)}`)) as unknown as {
    postings: { lotId: string; litres: { value: number }; litresOfPureAlcohol: { value: number } }[];
  };
  const liquids = postings
    .slice(0, 3)
    .map(({ lotId: id, litres, litresOfPureAlcohol: alcohol }) => [id, litres.value, alcohol.value]);
  expect(liquids).toEqual(
    expect.arrayContaining([
      [lots[0], -50, -7],
      [lots[1], -200, -10],
    ]),
  );
  await reportLines(floor);
  await holds(floor);
});

test('a lot of another category moves between the categories, each of which balances by itself', async () => {
  const { floor, vessels } = await threeTanks();
  const lotId = await floor.lot('wine');
  const into = await floor.vessel('D');
  const answer = await floor.post('/v1/blends', {
    lotId,
    vesselId: into,
    components: [{ vesselId: vessels[1], volume: L(100) }, { vesselId: vessels[2] }],
    water: L(10),
    occurredAt: AT,
  });
  // 100 L × 5 % + 50 L × 10 %.
  expect(number(answer.pureAlcohol)).toBe(10);
  const change = number(answer.volumeChange);
  expect(await posted(floor, answer.operationId)).toEqual({
    'liquid wine': [expect.closeTo(60 + change, 6), 5, 0],
    'liquid spirit-drink': [-50, -5, 0],
    'category-moves spirit-drink': [50, 5, 0],
    'category-moves wine': [-50, -5, 0],
    'liquid-added wine': [-10, 0, 0],
    'mixing-volume-change wine': [-change, 0, 0],
  });
  expect(await reportLines(floor)).toMatchObject({
    'spirit-drink category-moves': -50,
    'wine category-moves': 50,
    'wine liquid-added': 10,
  });
  await holds(floor);
});

test('with one part still in process the result is, and what was produced before counts once', async () => {
  const { floor, vessels } = await threeTanks();
  const fermenter = await floor.vessel('F');
  const washLot = await floor.lot('wine');
  await floor.gravity(washLot, 1.05, '2026-03-02T09:00:00Z');
  await floor.post(`/v1/lots/${washLot}/charges`, {
    vesselId: fermenter,
    volume: L(100),
    occurredAt: '2026-03-02T10:00:00Z',
  });
  await floor.gravity(washLot, 1.01, '2026-03-08T09:00:00Z');
  const provisional = await floor.post(`/v1/lots/${washLot}/findings`, {
    method: 'mass-balance',
    standing: 'provisional',
    occurredAt: '2026-03-08T10:00:00Z',
  });
  const fermentedSoFar = Number(number(provisional.strength).toFixed(6));
  const lotId = await floor.lot('wine');
  const answer = await floor.post('/v1/blends', {
    lotId,
    vesselId: fermenter,
    components: [{ vesselId: fermenter }, { vesselId: vessels[1], volume: L(60) }],
    occurredAt: AT,
  });
  expect(answer).toMatchObject({ inProcess: true });
  // 60 L × 5 % = 3 L come along with what had fermented so far in 100 L.
  expect(number(answer.pureAlcohol)).toBeCloseTo(fermentedSoFar + 3, 5);
  expect(await floor.get(`/v1/findings/${String(answer.findingId)}`)).toMatchObject({ standing: 'provisional' });
  const change = number(answer.volumeChange);
  expect(await posted(floor, answer.operationId)).toEqual({
    'liquid wine': [change, 0, 0],
    'mixing-volume-change wine': [-change, 0, 0],
    'production-in-process wine': [-60, 0, 0],
    'fermentation wine': [0, -3, 0],
    'used-as-material wine': [60, 3, 0],
  });
  await refused(
    floor,
    `/v1/lots/${lotId}/findings`,
    { method: 'mass-balance', occurredAt: '2026-03-20T09:00:00Z' },
    { code: 'method-not-applicable' },
  );
  await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'certificate',
    certificate: {
      strength: { value: 6, unit: '%' },
      expandedUncertainty: { value: 0.1, unit: '%' },
      coverageFactor: 2,
    },
    occurredAt: '2026-03-20T09:00:00Z',
  });
  const lines = await reportLines(floor);
  // 160 L and the change on mixing are produced in the end, of which 60 L were used up as material: 100 L and the change are new.
  expect(lines['wine produced'] + lines['wine used-as-material']).toBeCloseTo(100 + change, 6);
  // In: 100 L charged and 60 L again in process; out: 160 L and the change.
  expect(lines['wine production-in-process']).toBeCloseTo(-change, 6);
  await holds(floor);
});

test('a reversed blend leaves what was before, unless later work stands on it', async () => {
  const { floor, vessels } = await threeTanks();
  const into = await floor.vessel('D');
  const lotId = await floor.lot('wine');
  const body = {
    lotId,
    vesselId: into,
    components: [
      { vesselId: vessels[0], volume: L(33.333333) },
      { vesselId: vessels[1], volume: L(66.666667) },
    ],
  };
  const accounts = async () =>
    ((await floor.get('/v1/accounts?limit=100')).items as { id: string; litres: unknown; fermented: unknown }[])
      .filter(({ litres }) => number(litres) !== 0)
      .map(({ id, litres, fermented }) => [id, litres, fermented]);
  const before = await accounts();
  const first = await floor.post('/v1/blends', { ...body, occurredAt: AT });
  const reason = { reasonCode: 'typing-error' };
  await floor.post(`/v1/operations/${String(first.operationId)}/reversal`, reason);
  expect(await accounts()).toEqual(before);
  const second = await floor.post('/v1/blends', { ...body, occurredAt: '2026-03-11T09:00:00Z' });
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: into,
    toVesselId: await floor.vessel('E'),
    volume: L(10),
    occurredAt: '2026-03-12T09:00:00Z',
  });
  await refused(floor, `/v1/operations/${String(second.operationId)}/reversal`, reason, {
    code: 'later-posting-in-the-way',
  });
  await holds(floor);
});

test('fresh wash goes onto a heel as a blend', async () => {
  const { floor, vessels } = await threeTanks();
  const lotId = await floor.lot('wine');
  const answer = await floor.post('/v1/blends', {
    lotId,
    vesselId: vessels[0],
    components: [{ vesselId: vessels[0] }],
    wash: { volume: L(300), gravity: { value: 1.048, scale: 'sg-20-20' } },
    occurredAt: AT,
  });
  expect(answer.inProcess).toBe(true);
  expect(number(answer.pureAlcohol)).toBe(14);
  // The heel of 100 L was produced before and is in process again; 300 L of wash are new.
  expect(await posted(floor, answer.operationId)).toMatchObject({
    'production-in-process wine': [-400, 0, 0],
    'fermentation wine': [0, -14, 0],
    'used-as-material wine': [100, 14, 0],
  });
  await reportLines(floor);
  await holds(floor);
});

test('what has not finished changes category within production', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const [one, two] = [await floor.vessel('F1'), await floor.vessel('F2')];
  for (const [vesselId, category] of [
    [one, 'beer'],
    [two, 'wine'],
  ]) {
    const lot = await floor.lot(category);
    await floor.gravity(lot, 1.05, '2026-03-02T09:00:00Z');
    await floor.post(`/v1/lots/${lot}/charges`, { vesselId, volume: L(100), occurredAt: '2026-03-02T10:00:00Z' });
  }
  const lotId = await floor.lot('wine');
  const answer = await floor.post('/v1/blends', {
    lotId,
    vesselId: two,
    components: [{ vesselId: one }, { vesselId: two }],
    occurredAt: AT,
  });
  expect(answer.findingId).toBeUndefined();
  expect(number(answer.volumeChange)).toBeCloseTo(0, 6);
  expect(await posted(floor, answer.operationId)).toMatchObject({
    'liquid beer': [-100, 0, 0],
    'production-in-process beer': [100, 0, 0],
    'production-in-process wine': [-100, 0, 0],
  });
  await reportLines(floor);
  await holds(floor);
});

test('each bad blend says what is in the way, and stores nothing', async () => {
  const { floor, lots, vessels } = await threeTanks();
  const other = await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
  const far = await floor.vessel('X', 'fermenter', String(other.id));
  const empty = await floor.vessel('E');
  const lotId = await floor.lot('wine');
  const [a, b, c] = vessels;
  const both = [{ vesselId: a }, { vesselId: b }];
  const blend = (more: object) => ({ lotId, vesselId: empty, components: both, occurredAt: AT, ...more });
  const no = (body: Record<string, unknown>, code: string, pointer: string, rule: string) =>
    refused(floor, '/v1/blends', body, { code, pointer, rule });
  await no(blend({ components: [both[0], both[0]] }), 'validation-failed', '/components/1/vesselId', 'not-unique');
  await no(blend({ components: [both[0]] }), 'validation-failed', '/components', 'min-items');
  await no(blend({ vesselId: far }), 'conflict', '/vesselId', 'other-premises');
  await no(blend({ components: [both[0], { vesselId: far }] }), 'conflict', '/components/1/vesselId', 'other-premises');
  await no(blend({ vesselId: c }), 'vessel-in-use', '/vesselId', 'vessel-in-use');
  await no(
    blend({ components: [both[0], { vesselId: b, volume: L(200.000001) }] }),
    'insufficient-stock',
    '/components/1/volume',
    'insufficient-stock',
  );
  await no(
    blend({ components: [both[0], { vesselId: empty }] }),
    'insufficient-stock',
    '/components/1/vesselId',
    'nothing-there',
  );
  await no(
    blend({ vesselId: b, components: [both[0], { vesselId: b, volume: L(100) }] }),
    'conflict',
    '/components/1/volume',
    'heel-whole',
  );
  await no(blend({ lotId: '018f0000-0000-7000-8000-000000000000' }), 'not-found', '/lotId', 'not-found');
  await floor.post(`/v1/lots/${lots[0]}/transfers`, {
    fromVesselId: a,
    toVesselId: empty,
    volume: L(1),
    occurredAt: '2026-03-12T09:00:00Z',
  });
  const late = await refused(floor, '/v1/blends', blend({ vesselId: b }), { code: 'later-posting-in-the-way' });
  expect(late.detail).toBeDefined();
  await holds(floor);
});
