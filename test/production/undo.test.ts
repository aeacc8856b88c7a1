import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

const clock = new SteppableClock(new Date('2026-03-20T08:00:00Z'));
let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock });
});
beforeEach(() => clock.advance(60_000));
afterAll(() => service.stop());

const litres = (value: number) => ({ value, unit: 'L' });
const opened = () => Floor.open(service, [['2026-02-01', '2026-04-01']]);
const undo = (floor: Floor, body: object = {}) => floor.post('/v1/undo', body as Record<string, unknown>);
const refused = async (floor: Floor, body: object = {}) => {
  const before = await service.rowCounts();
  const problem = problemOf(await service.call('post', '/v1/undo', { key: floor.key, body }));
  expect(await service.rowCounts()).toEqual(before);
  return problem;
};

test('charge, reading and step are taken back one after another, the last first', async () => {
  const floor = await opened();
  const vesselId = await floor.vessel('FV 1');
  const lotId = await floor.lot();
  const charge = await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: litres(100) });
  const reading = await floor.gravity(lotId, 1.04, '2026-03-20T07:00:00Z');
  const step = await floor.post(`/v1/lots/${lotId}/steps`, { kind: 'pitch-yeast' });

  expect(await undo(floor)).toMatchObject({ kind: 'step', id: step.id, action: 'steps.enter' });
  expect(await undo(floor)).toMatchObject({ kind: 'reading', id: reading, action: 'readings.create' });
  expect((await floor.get(`/v1/readings/${reading}`)).struck).toMatchObject({ reasonCode: 'undone' });
  expect(await undo(floor)).toMatchObject({ kind: 'operation', id: charge.operationId });
  expect((await floor.get(`/v1/vessels/${vesselId}`)).contents).toEqual({ state: 'empty' });
  const { entered } = (await floor.get(`/v1/lots/${lotId}/steps`)) as { entered: { id: string; outcome: string }[] };
  expect(entered.map(({ outcome }) => outcome)).toEqual(['done', 'withdrawn']);

  // What comes before is the lot: a record that is changed at its own address.
  const problem = await refused(floor);
  expect([problem.code, problem.detail]).toEqual(['conflict', expect.stringContaining('`lots.create`')]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('an entry on which something rests is refused, until that is taken back', async () => {
  const floor = await opened();
  const vesselId = await floor.vessel('FV 1');
  const lotId = await floor.lot();
  await floor.gravity(lotId, 1.04, '2026-03-10T07:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: litres(100), occurredAt: '2026-03-10T08:00:00Z' });
  const { id: person } = await floor.post('/v1/people', { name: 'A. Brewer' });
  const final = await floor.gravity(lotId, 0.998, '2026-03-20T07:00:00Z', { personId: person });
  const finding = await floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', standing: 'of-record' });
  const problem = await refused(floor, { personId: person });
  expect([problem.code, problem.status]).toEqual(['reading-in-use', 409]);
  expect(await undo(floor)).toMatchObject({ kind: 'operation', id: finding.operationId });
  expect(await undo(floor, { personId: person })).toMatchObject({ kind: 'reading', id: final });
  expect((await refused(floor, { personId: person })).code).toBe('not-found');
  expect((await refused(floor, { personId: '018f0000-0000-7000-8000-000000000000' })).code).toBe('not-found');
});

test('a correction is taken back with the reversal that it made', async () => {
  const floor = await opened();
  const facts = { mark: 'B', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4 };
  const { packaged } = await openStock(floor, '2026-02-01T08:00:00Z', [], [{ ...facts, percent: 4, strengthU: 0.05 }]);
  const release = { kind: 'release', packagedLotId: packaged[0], occurredAt: '2026-03-01T08:00:00Z' };
  const first = await floor.post('/v1/movements', { ...release, count: 10 });
  const corrects = { operationId: first.id, reasonCode: 'wrong-count' };
  const second = await floor.post('/v1/movements', { ...release, count: 20, corrects });
  const inStock = async () => {
    const { items } = (await floor.get('/v1/accounts')) as {
      items: { packagedLotId?: string; litres: { value: number } }[];
    };
    return items.find(({ packagedLotId }) => packagedLotId === packaged[0])?.litres.value;
  };
  // 100 bottles of half a litre less 20, then less 10 again.
  expect(await inStock()).toBe(40);
  expect(await undo(floor)).toMatchObject({ kind: 'operation', id: second.id });
  expect(await inStock()).toBe(45);
  expect(await undo(floor)).toMatchObject({ kind: 'operation', id: first.id });
  expect(await inStock()).toBe(50);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a stock-take of several products is taken back whole', async () => {
  const floor = await opened();
  const facts = { category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4, percent: 4, strengthU: 0.05 };
  const { packaged } = await openStock(
    floor,
    '2026-02-01T08:00:00Z',
    [],
    [
      { ...facts, mark: 'A' },
      { ...facts, mark: 'B' },
    ],
  );
  const counts = packaged.map((packagedLotId) => ({ packagedLotId, count: 98, reasonCode: 'breakage' }));
  await floor.post('/v1/stock-takes', { premisesId: floor.premisesId, counts });
  await undo(floor);
  for (const id of packaged) {
    const page = (await floor.get(`/v1/operations?packagedLotId=${id}`)) as { items: { kind: string }[] };
    expect(page.items.map(({ kind }) => kind)).toEqual(['opening', 'count', 'reversal']);
  }
});

test('an empty period that was opened by mistake; nothing older than a day; nothing of another key', async () => {
  const floor = await opened();
  const { id } = await floor.post('/v1/periods', {
    premisesId: floor.premisesId,
    startsOn: '2026-04-01',
    endsBefore: '2026-04-30',
  });
  const { key: brewer } = await floor.post('/v1/keys', { name: 'Tablet', role: 'brewer' });
  const other = problemOf(await service.call('post', '/v1/undo', { key: String(brewer), body: {} }));
  expect(other.code).toBe('not-found');
  const keyMade = await refused(floor);
  expect(keyMade.detail).toContain('`keys.create`');
  clock.advance(25 * 3_600_000);
  expect((await refused(floor)).code).toBe('not-found');
  const { id: next } = await floor.post('/v1/periods', {
    premisesId: floor.premisesId,
    startsOn: '2026-04-30',
    endsBefore: '2026-05-30',
  });
  expect(await undo(floor)).toMatchObject({ kind: 'period', id: next });
  expect((await floor.get(`/v1/periods/${String(id)}`)).state).toBe('open');
});

test('the same request again answers the same and takes nothing more back; an auditor may not', async () => {
  const floor = await opened();
  const vesselId = await floor.vessel('FV 1');
  const lotId = await floor.lot();
  const charge = await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: litres(100) });
  const step = await floor.post(`/v1/lots/${lotId}/steps`, { kind: 'pitch-yeast' });
  const headers = { 'idempotency-key': 'undo-1' };
  const first = await floor.post('/v1/undo', {}, 201, headers);
  expect(first.id).toBe(step.id);
  expect(await floor.post('/v1/undo', {}, 201, headers)).toEqual(first);
  expect((await floor.get(`/v1/vessels/${vesselId}`)).contents).toMatchObject({ state: 'fermenting' });
  expect(await undo(floor)).toMatchObject({ id: charge.operationId });
  const { key } = await floor.post('/v1/keys', { name: 'Officer', role: 'auditor' });
  expect((await service.call('post', '/v1/undo', { key: String(key), body: {} })).status).toBe(403);
});
