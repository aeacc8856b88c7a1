import { parse } from 'csv-parse/sync';
import { SteppableClock } from '../../src/platform/clock.js';
import type { Recall, Trace } from '../../src/production/trace/trace.dto.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

/**
 * The case, worked by hand. Three lots of 100 L of one strength (so that nothing changes volume on mixing): A and C from sugar S, B from none.
 *
 *   D = 60 L of A + 40 L of B           100 L: 0.6 A, 0.4 B
 *   E = 50 L of D + 50 L of C           100 L: 0.5 D, 0.3 A, 0.2 B, 0.5 C
 *   packed: A 40 L, D 45 L (5 L lost), E 75 L; 10 L of E leave in bulk, 15 L stay
 *
 * Of A's 100 L: 40 in A's bottles, 45 × 0.6 = 27 in D's, 75 × 0.3 = 22.5 in E's. Of S: 10 kg in A and 6 kg in C, so in E's bottles
 * 10 × 0.225 + 6 × 0.375 = 4.5 kg; the liquid that it went into makes 0.3 + 0.5 = 0.8 of E.
 */
let service: TestService;
let floor: Floor;
const lots: Record<string, string> = {};
const vessels: Record<string, string> = {};
const packed: Record<string, string> = {};
let sugar: string;
let bulk: string;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-28T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-04-01', '2026-05-01']]);
  const material = await floor.post('/v1/materials', { name: 'White sugar', kind: 'sugar' });
  const received = await floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code: 'S-1',
    supplier: 'Invented Sugar',
    supplierLot: 'IS-77',
    mass: { value: 25, unit: 'kg' },
    occurredAt: '2026-04-01T09:00:00Z',
  });
  sugar = String(received.id);
  for (const name of ['A', 'B', 'C', 'D', 'E']) {
    vessels[name] = await floor.vessel(name);
    lots[name] = await floor.lot('sugar-ferment', { code: name === 'E' ? '=E' : name });
  }
  await ferment('A', 10_000);
  await ferment('B', 0);
  await ferment('C', 6_000);
  await blend('D', [
    ['A', 60],
    ['B', 40],
  ]);
  await blend('E', [
    ['D', 50],
    ['C', 50],
  ]);
  await pack('A', 80);
  await pack('D', 90, { emptied: true, reasonCode: 'spill' });
  await pack('E', 150);
  const move = (more: object) => floor.post('/v1/movements', { occurredAt: '2026-04-20T09:00:00Z', ...more });
  await move({ kind: 'release', packagedLotId: packed.E, count: 40, counterparty: '@Corner Shop' });
  await move({ kind: 'release', packagedLotId: packed.D, count: 90, counterparty: 'The Anchor' });
  const wrong = await move({ kind: 'release', packagedLotId: packed.E, count: 7, counterparty: 'Nobody' });
  await floor.post(`/v1/operations/${String(wrong.id)}/reversal`, { reasonCode: 'did-not-happen' });
  const dispatched = await move({
    kind: 'dispatch-suspended',
    lotId: lots.E,
    vesselId: vessels.E,
    volume: { value: 10, unit: 'L' },
    counterparty: 'Bonded Store',
    evidence: { document: 'eD-1' },
  });
  bulk = String(dispatched.id);
});
afterAll(() => service.stop());

async function ferment(name: string, sugarG: number): Promise<void> {
  const lotId = lots[name];
  await floor.gravity(lotId, 1.05, '2026-04-02T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId: vessels[name],
    volume: { value: 100, unit: 'L' },
    occurredAt: '2026-04-02T10:00:00Z',
    ...(sugarG === 0 ? {} : { materials: [{ materialLotId: sugar, mass: { value: sugarG, unit: 'g' } }] }),
  });
  await floor.gravity(lotId, 1, '2026-04-10T08:00:00Z');
  await floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', occurredAt: '2026-04-10T09:00:00Z' });
}

const blend = (name: string, components: [string, number][]) =>
  floor.post('/v1/blends', {
    lotId: lots[name],
    vesselId: vessels[name],
    components: components.map(([from, value]) => ({ vesselId: vessels[from], volume: { value, unit: 'L' } })),
    occurredAt: name === 'D' ? '2026-04-11T09:00:00Z' : '2026-04-12T09:00:00Z',
  });

async function pack(name: string, count: number, more: object = { emptied: false }): Promise<void> {
  const answer = await floor.post(`/v1/lots/${lots[name]}/packagings`, {
    vesselId: vessels[name],
    container: 'bottle',
    nominalVolume: { value: 500, unit: 'mL' },
    count,
    declaredStrength: { value: 6.5, unit: '%' },
    occurredAt: '2026-04-15T09:00:00Z',
    ...more,
  });
  packed[name] = String(answer.packagedLotId);
}

const trace = async (path: string): Promise<Trace> => (await floor.get(path)) as unknown as Trace;
const recall = async (query: string): Promise<Recall> => (await floor.get(`/v1/recalls?${query}`)) as unknown as Recall;
const near = (value: number): number => expect.closeTo(value, 9) as unknown as number;
const shares = (list: Recall['packagedLots']) =>
  Object.fromEntries(list.map((each) => [each.packagedLotId, [each.share, each.shareOfSource]]));

test('backward: what the bottles of a blend of blends are made of', async () => {
  const found = await trace(`/v1/packaged-lots/${packed.E}/trace`);
  expect(found).toMatchObject({ of: { kind: 'packaged-lot', id: packed.E, code: '=E' }, direction: 'backward' });
  expect(Object.fromEntries(found.lots.map(({ code, share }) => [code, share]))).toEqual({
    A: near(0.3),
    B: near(0.2),
    C: near(0.5),
    D: near(0.5),
    '=E': near(1),
  });
  expect(found.materialLots).toEqual([
    {
      materialLotId: sugar,
      code: 'S-1',
      materialId: expect.any(String),
      material: 'White sugar',
      supplier: 'Invented Sugar',
      supplierLot: 'IS-77',
      receivedAt: '2026-04-01T09:00:00.000Z',
      share: near(0.8),
      mass: { value: near(4.5), unit: 'kg' },
    },
  ]);
  expect(found.packagedLots).toEqual([]);
  const lot = await trace(`/v1/lots/${lots.E}/trace?direction=backward`);
  expect(Object.fromEntries(lot.lots.map(({ code, share }) => [code, share]))).toEqual({
    A: near(0.3),
    B: near(0.2),
    C: near(0.5),
    D: near(0.5),
  });
  expect(lot.materialLots).toMatchObject([{ share: near(0.8), mass: { value: near(6) } }]);
});

test('forward: where a lot went, each packaged lot once', async () => {
  const found = await trace(`/v1/lots/${lots.A}/trace?direction=forward`);
  expect(found.lots.map(({ code, share }) => [code, share])).toEqual([
    ['D', near(0.6)],
    ['=E', near(0.3)],
  ]);
  expect(found.packagedLots).toHaveLength(3);
  expect(shares(found.packagedLots)).toEqual({
    [packed.A]: [near(1), near(0.4)],
    [packed.D]: [near(0.6), near(0.27)],
    [packed.E]: [near(0.3), near(0.225)],
  });
  expect(found.bulk).toEqual([
    {
      operationId: bulk,
      kind: 'dispatch-suspended',
      occurredAt: '2026-04-20T09:00:00.000Z',
      volume: { value: 10, unit: 'L' },
      counterparty: 'Bonded Store',
      document: 'eD-1',
    },
  ]);
  expect(found.vessels).toEqual([
    expect.objectContaining({ vessel: 'E', volume: { value: near(15), unit: 'L' }, share: near(0.3) }),
  ]);
});

test('a material lot is called back from every lot that it went into', async () => {
  const found = await recall(`materialLotId=${sugar}`);
  expect(found.packagedLots.map(({ packagedLotId }) => packagedLotId).sort()).toEqual(
    [packed.A, packed.D, packed.E].sort(),
  );
  // 200 L of liquid took sugar in, A and C: of those 40 L are in A's bottles, 27 in D's and 75 × 0.8 = 60 in E's.
  expect(shares(found.packagedLots)).toEqual({
    [packed.A]: [near(1), near(0.2)],
    [packed.D]: [near(0.6), near(0.135)],
    [packed.E]: [near(0.8), near(0.3)],
  });
  const e = found.packagedLots.find(({ packagedLotId }) => packagedLotId === packed.E);
  expect(e).toMatchObject({ packed: 150, onHand: 110, released: 40, lotMark: '=E', lotCode: '=E' });
  expect(e?.recipients).toMatchObject([{ kind: 'release', count: 40, counterparty: '@Corner Shop' }]);
  const d = found.packagedLots.find(({ packagedLotId }) => packagedLotId === packed.D);
  expect(d).toMatchObject({ packed: 90, onHand: 0, released: 90 });
  expect(await trace(`/v1/material-lots/${sugar}/trace`)).toMatchObject({
    direction: 'forward',
    packagedLots: found.packagedLots,
  });
});

test('a packaged lot is called back itself', async () => {
  const found = await recall(`packagedLotId=${packed.E}`);
  expect(shares(found.packagedLots)).toEqual({ [packed.E]: [1, 1] });
  expect(found.vessels).toEqual([]);
});

test('the list as CSV, with texts that are no formulas', async () => {
  const response = await service.expect(200, 'get', `/v1/recalls?lotId=${lots.D}&format=csv`, { key: floor.key });
  expect(response.headers['content-type']).toBe('text/csv; charset=utf-8');
  const rows = parse(response.text, { columns: true }) as Record<string, string>[];
  expect(rows).toHaveLength(2);
  const e = rows.find((row) => row.packaged_lot_id === packed.E);
  expect(e).toMatchObject({ lot_mark: "'=E", lot: "'=E", packed: '150', on_hand: '110', released: '40' });
  expect(e?.recipients).toBe("'@Corner Shop (release, 2026-04-20T09:00:00.000Z, 40)");
  expect(Number(e?.share)).toBeCloseTo(0.5, 9);
  expect(Number(e?.share_of_source)).toBeCloseTo(0.375, 9);
});

test('what was reversed went nowhere', async () => {
  const vessel = await floor.vessel('F');
  const facts = { litres: 100, original: 1.05, final: 1, day: '2026-04-02', finishedDay: '2026-04-10' };
  const lotId = await floor.finishedLot(vessel, facts);
  const answer = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId: vessel,
    container: 'can',
    nominalVolume: { value: 330, unit: 'mL' },
    count: 300,
    emptied: true,
    declaredStrength: { value: 6.5, unit: '%' },
    occurredAt: '2026-04-15T09:00:00Z',
  });
  expect((await recall(`lotId=${lotId}`)).packagedLots).toHaveLength(1);
  await floor.post(`/v1/operations/${String(answer.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  const found = await recall(`lotId=${lotId}`);
  expect(found.packagedLots).toEqual([]);
  expect(found.vessels).toMatchObject([{ vesselId: vessel, volume: { value: near(100) }, share: near(1) }]);
});

test('spirit by its litres, through a charge with water', async () => {
  const material = await floor.post('/v1/materials', {
    name: 'Spirit',
    kind: 'spirit',
    strength: { value: 96, unit: '%' },
  });
  const spirit = await floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code: 'N-1',
    supplier: 'Invented Distillers',
    volume: { value: 25, unit: 'L' },
    occurredAt: '2026-04-01T09:00:00Z',
  });
  const vessel = await floor.vessel('G');
  const lotId = await floor.lot('spirit-drink');
  await floor.post(`/v1/lots/${lotId}/spirit-charges`, {
    vesselId: vessel,
    spirits: [{ materialLotId: spirit.id, volume: { value: 10, unit: 'L' } }],
    targetStrength: { value: 5, unit: '%' },
    occurredAt: '2026-04-16T09:00:00Z',
  });
  const found = await trace(`/v1/lots/${lotId}/trace`);
  expect(found.materialLots).toMatchObject([
    { code: 'N-1', supplier: 'Invented Distillers', share: near(1), volume: { value: near(10), unit: 'L' } },
  ]);
  expect((await trace(`/v1/material-lots/${String(spirit.id)}/trace`)).vessels).toMatchObject([{ vesselId: vessel }]);
});

/** Material lots that a trace names, by code: share, and how much of each. */
const named = ({ materialLots }: Trace) =>
  Object.fromEntries(materialLots.map(({ code, share, mass, volume }) => [code, { share, mass, volume }]));

test('backward: every addition to a lot, by mass or by volume, with alcohol or without', async () => {
  const received = async (code: string, kind: string, more: object) => {
    const material = await floor.post('/v1/materials', { name: code, kind });
    const facts = { materialId: material.id, premisesId: floor.premisesId, occurredAt: '2026-04-01T09:00:00Z' };
    return String((await floor.post('/v1/material-lots', { ...facts, code, ...more })).id);
  };
  const nutrient = await received('NU-1', 'nutrient', { mass: { value: 500, unit: 'g' } });
  const second = await received('NU-2', 'nutrient', { mass: { value: 500, unit: 'g' } });
  const finings = await received('FI-1', 'fining', { volume: { value: 1, unit: 'L' } });
  const flavouring = await received('FL-1', 'flavouring', {
    volume: { value: 5, unit: 'L' },
    strength: { value: 40, unit: '%' },
  });
  const vessel = await floor.vessel('H');
  const facts = { litres: 100, original: 1.05, final: 1, day: '2026-04-02', finishedDay: '2026-04-10' };
  const lotId = await floor.finishedLot(vessel, facts);
  const add = (materialLotId: string, amount: object, day: string, purpose: string) =>
    floor.post(`/v1/lots/${lotId}/additions`, {
      vesselId: vessel,
      purpose,
      materialLotId,
      ...amount,
      occurredAt: `2026-04-${day}T09:00:00Z`,
    });
  await add(nutrient, { mass: { value: 20, unit: 'g' } }, '11', 'nutrient');
  await add(second, { mass: { value: 15, unit: 'g' } }, '12', 'nutrient');
  await add(finings, { volume: { value: 90, unit: 'mL' } }, '13', 'fining');
  await add(flavouring, { volume: { value: 2, unit: 'L' } }, '14', 'flavouring');
  const found = named(await trace(`/v1/lots/${lotId}/trace`));
  expect(Object.keys(found).sort()).toEqual(['FI-1', 'FL-1', 'NU-1', 'NU-2']);
  expect(found['NU-1'].mass).toEqual({ value: near(0.02), unit: 'kg' });
  expect(found['NU-2'].mass).toEqual({ value: near(0.015), unit: 'kg' });
  expect(found['FI-1'].volume).toEqual({ value: near(0.09), unit: 'L' });
  expect(found['FL-1'].volume).toEqual({ value: near(2), unit: 'L' });
  // Each went into all of the lot, of which there were 100 L and in the end about 102 L.
  for (const { share } of Object.values(found)) {
    expect(share).toBeGreaterThan(0.97);
    expect(share).toBeLessThanOrEqual(1);
  }
  // The same material lots lead forward to the lot's vessel: the two directions agree.
  for (const id of [nutrient, second, finings, flavouring]) {
    expect((await recall(`materialLotId=${id}`)).vessels).toMatchObject([{ vesselId: vessel }]);
  }
});

test('what came back is netted; a sample and a loss have no recipient; a lot mark and a lot code are enough', async () => {
  const vessel = await floor.vessel('I');
  const facts = { litres: 100, original: 1.05, final: 1, day: '2026-04-02', finishedDay: '2026-04-10' };
  const lotId = await floor.finishedLot(vessel, facts);
  const runs: string[] = [];
  for (const count of [60, 40]) {
    const answer = await floor.post(`/v1/lots/${lotId}/packagings`, {
      vesselId: vessel,
      container: 'bottle',
      nominalVolume: { value: 500, unit: 'mL' },
      count,
      emptied: false,
      lotMark: 'MARK-7',
      declaredStrength: { value: 6.5, unit: '%' },
      occurredAt: '2026-04-15T09:00:00Z',
    });
    runs.push(String(answer.packagedLotId));
  }
  const move = (day: string, more: object) =>
    floor.post('/v1/movements', { packagedLotId: runs[0], occurredAt: `2026-04-${day}T09:00:00Z`, ...more });
  await move('16', { kind: 'release', count: 20, counterparty: 'The Anchor' });
  await move('17', { kind: 'release', count: 12, counterparty: 'Corner Shop' });
  await move('18', { kind: 'return', count: 5, counterparty: 'The Anchor' });
  await move('18', { kind: 'sample', count: 2 });
  await move('18', { kind: 'packaging-loss', count: 1 });
  // 20 + 12 went out, 5 came back: 27 are with others; 60 − 32 + 5 − 2 − 1 = 30 are here.
  const found = await recall('lotMark=mark-7');
  expect(found.of).toEqual({ kind: 'lot-mark', code: 'MARK-7' });
  expect(shares(found.packagedLots)).toEqual({ [runs[0]]: [1, near(0.6)], [runs[1]]: [1, near(0.4)] });
  const first = found.packagedLots.find(({ packagedLotId }) => packagedLotId === runs[0]);
  expect(first).toMatchObject({ packed: 60, released: 32, returned: 5, outstanding: 27, onHand: 30 });
  expect(first?.recipients.map(({ counterparty, count, returned }) => [counterparty, count, returned?.value])).toEqual([
    ['The Anchor', 20, 2.5],
    ['Corner Shop', 12, undefined],
  ]);
  expect(first?.returns).toMatchObject([{ kind: 'return', count: 5, counterparty: 'The Anchor' }]);
  const code = String((await floor.get(`/v1/lots/${lotId}`)).code);
  const byCode = await recall(`lotCode=${code.toLowerCase()}`);
  expect(byCode.of).toEqual({ kind: 'lot', id: lotId, code });
  expect(byCode.packagedLots.map(({ packagedLotId }) => packagedLotId).sort()).toEqual([...runs].sort());
  const csv = await service.expect(200, 'get', '/v1/recalls?lotMark=MARK-7&format=csv', { key: floor.key });
  const [row] = (parse(csv.text, { columns: true }) as Record<string, string>[]).filter(
    ({ packed }) => packed === '60',
  );
  expect(row).toMatchObject({ returned: '5', outstanding: '27' });
  for (const query of ['lotMark=nothing', 'lotCode=nothing']) {
    expect((await service.call('get', `/v1/recalls?${query}`, { key: floor.key })).status).toBe(404);
  }
});

test('bad questions', async () => {
  const stranger = await service.newProducer('Another');
  const call = (path: string, key = floor.key) => service.call('get', path, { key });
  for (const path of [
    `/v1/lots/${lots.A}/trace`,
    `/v1/recalls?lotId=${lots.A}`,
    `/v1/packaged-lots/${packed.E}/trace`,
  ]) {
    expect((await call(path, stranger.key)).status).toBe(404);
  }
  expect((await call(`/v1/material-lots/${lots.A}/trace`)).status).toBe(404);
  expect((await call(`/v1/recalls?lotId=${lots.A}&materialLotId=${sugar}`)).body).toMatchObject({
    code: 'validation-failed',
    errors: [{ rule: 'exactly-one' }],
  });
  expect((await call('/v1/recalls')).status).toBe(400);
  expect((await call(`/v1/lots/${lots.A}/trace?direction=sideways`)).status).toBe(400);
});
