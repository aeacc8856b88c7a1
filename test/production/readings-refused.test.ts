import { SteppableClock } from '../../src/platform/clock.js';
import { withConnection } from '../../src/platform/database/connection.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { sameRefusal, UNKNOWN_ID, World } from './records-world.js';

let service: TestService;
let world: World;
let lot: string;
let path: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-03-01T12:00:00Z')) });
  world = await World.of(service);
  lot = (await world.lot()).id;
  path = `/v1/lots/${lot}/readings`;
});
afterAll(() => service.stop());

const gravity = { kind: 'gravity', gravity: { value: 1.032, scale: 'sg-20-20' } };
const onScale = (value: unknown, scale: unknown = 'sg-20-20') => ({ kind: 'gravity', gravity: { value, scale } });
const of = (kind: string, value: unknown, unit: string) => ({ kind, quantity: { value, unit } });

const CASES: [code: string, body: unknown, pointer: string][] = [
  ['scale-unknown', onScale(1.03, 'brix'), '/gravity/scale'],
  ['scale-unknown', onScale(1.03, 'toString'), '/gravity/scale'],
  ['out-of-range', onScale(10.32), '/gravity/value'],
  ['out-of-range', onScale(1032), '/gravity/value'],
  ['out-of-range', onScale(0.5), '/gravity/value'],
  ['out-of-range', onScale(1.31), '/gravity/value'],
  ['out-of-range', onScale(0), '/gravity/value'],
  ['out-of-range', onScale(-1.03), '/gravity/value'],
  ['out-of-range', onScale(-5.1, 'plato'), '/gravity/value'],
  ['out-of-range', onScale(61, 'plato'), '/gravity/value'],
  ['validation-failed', onScale(1.0320001), '/gravity/value'],
  ['validation-failed', onScale('1.032'), '/gravity/value'],
  ['validation-failed', onScale(null), '/gravity/value'],
  ['validation-failed', onScale([1.032]), '/gravity/value'],
  ['scale-unknown', { kind: 'gravity', gravity: { value: 1.032 } }, '/gravity/scale'],
  ['validation-failed', { kind: 'gravity', gravity: { ...gravity.gravity, unit: 'L' } }, '/gravity/unit'],
  ['validation-failed', { kind: 'gravity' }, '/gravity'],
  ['validation-failed', { kind: 'gravity', quantity: { value: 1, unit: 'L' }, gravity: gravity.gravity }, '/quantity'],
  ['validation-failed', { ...gravity, value: 4 }, '/value'],
  ['validation-failed', { ...gravity, text: 'hm' }, '/text'],
  ['validation-failed', { kind: 'mood', value: 4 }, '/kind'],
  ['validation-failed', { kind: 'toString' }, '/kind'],
  ['unit-unknown', of('temperature', 20, 'K'), '/quantity/unit'],
  ['unit-unknown', of('temperature', 20, 'L'), '/quantity/unit'],
  ['out-of-range', of('temperature', 110.1, 'Cel'), '/quantity/value'],
  ['out-of-range', of('temperature', -5, '[degF]'), '/quantity/value'],
  ['out-of-range', of('temperature', -20.1, 'Cel'), '/quantity/value'],
  ['unit-unknown', of('volume', 1, 'bucket'), '/quantity/unit'],
  ['out-of-range', of('volume', 0, 'L'), '/quantity/value'],
  ['out-of-range', of('volume', -3, 'L'), '/quantity/value'],
  ['out-of-range', of('volume', 1000.001, 'm3'), '/quantity/value'],
  ['validation-failed', of('volume', 1.0000001, 'L'), '/quantity/value'],
  ['validation-failed', of('volume', '200', 'L'), '/quantity/value'],
  ['validation-failed', of('volume', true, 'L'), '/quantity/value'],
  ['validation-failed', { kind: 'volume', quantity: 200 }, '/quantity'],
  ['out-of-range', { kind: 'ph', value: 14.1 }, '/value'],
  ['out-of-range', { kind: 'ph', value: -0.1 }, '/value'],
  ['validation-failed', { kind: 'ph', value: '' }, '/value'],
  ['out-of-range', of('dissolved-co2', 20.5, 'g/L'), '/quantity/value'],
  ['out-of-range', of('dissolved-co2', -1, 'g/L'), '/quantity/value'],
  ['unit-unknown', of('dissolved-co2', 2.4, 'kPa'), '/quantity/unit'],
  ['out-of-range', of('gauge-pressure', 10.1, 'bar'), '/quantity/value'],
  ['out-of-range', of('gauge-pressure', -101, 'kPa'), '/quantity/value'],
  ['out-of-range', of('strength', 100.001, '%'), '/quantity/value'],
  ['out-of-range', of('density', 99.8, 'kg/m3'), '/quantity/value'],
  ['validation-failed', { kind: 'text', text: '   ' }, '/text'],
  ['validation-failed', { kind: 'text', text: 'x'.repeat(2001) }, '/text'],
  ['validation-failed', { kind: 'text', text: 'turned \u202eabout' }, '/text'],
  ['out-of-range', { ...gravity, sampleTemperature: { value: 111, unit: 'Cel' } }, '/sampleTemperature/value'],
  [
    'validation-failed',
    { ...gravity, sampleTemperature: { value: 20.00001, unit: 'Cel' } },
    '/sampleTemperature/value',
  ],
  ['unit-unknown', { ...gravity, sampleTemperature: { value: 293, unit: 'K' } }, '/sampleTemperature/unit'],
  [
    'validation-failed',
    { ...of('temperature', 20, 'Cel'), sampleTemperature: { value: 20, unit: 'Cel' } },
    '/sampleTemperature',
  ],
  ['validation-failed', { ...gravity, takenAt: '2026-02-28T10:00:00' }, '/takenAt'],
  ['validation-failed', { ...gravity, takenAt: '2026-02-30T10:00:00Z' }, '/takenAt'],
  ['validation-failed', { ...gravity, takenAt: '9999-01-01T00:00:00Z' }, '/takenAt'],
  ['validation-failed', { ...gravity, takenAt: '2026-02-28T10:00:60Z' }, '/takenAt'],
  ['validation-failed', { ...gravity, takenAt: 1772352000 }, '/takenAt'],
  ['time-ahead', { ...gravity, takenAt: '2026-03-01T12:05:01Z' }, '/takenAt'],
  ['validation-failed', { ...gravity, degassed: 'true' }, '/degassed'],
  ['validation-failed', { ...gravity, source: 'dream' }, '/source'],
  ['validation-failed', { ...gravity, instrumentId: 'H1' }, '/instrumentId'],
  ['validation-failed', { ...gravity, instrumentId: null }, '/instrumentId'],
  ['validation-failed', { ...gravity, flags: [] }, '/flags'],
  ['validation-failed', { ...gravity, producerId: UNKNOWN_ID }, '/producerId'],
  ['not-found', { ...gravity, instrumentId: UNKNOWN_ID }, '/instrumentId'],
  ['not-found', { ...gravity, personId: UNKNOWN_ID }, '/personId'],
  ['not-found', { ...gravity, vesselId: UNKNOWN_ID }, '/vesselId'],
];

test.each(CASES)('%s: %j', async (code, body, pointer) => {
  const problem = await world.refused(code, 'post', path, body);
  expect(problem.errors?.map((each) => each.pointer)).toEqual([pointer]);
});

test('a replacement is refused for the same reasons, and nothing is struck', async () => {
  const { id } = await world.post(path, gravity);
  const before = await service.rowCounts();
  for (const [code, replacement, pointer] of CASES) {
    const body = { reasonCode: 'misread', replacement };
    const answer = await service.call('post', `/v1/readings/${id}/strike`, { key: world.key, body });
    const { errors } = problemOf(answer);
    expect({ code: answer.body.code, pointers: errors?.map((each) => each.pointer) }).toEqual({
      code,
      pointers: [`/replacement${pointer}`],
    });
  }
  expect(await service.rowCounts()).toEqual(before);
  expect((await world.get<{ struck?: unknown }>(`/v1/readings/${id}`)).struck).toBeUndefined();
});

test('10.32 and 1032 are answered with what was probably meant', async () => {
  for (const value of [10.32, 1032]) {
    const problem = await world.refused('out-of-range', 'post', path, onScale(value));
    expect(problem.errors).toMatchObject([{ suggestion: '1.032' }]);
  }
});

const raw = (number: string): string => `{"kind":"volume","quantity":{"value":${number},"unit":"L"}}`;
test.each([
  ['malformed-body', raw('NaN')],
  ['number-too-long', raw('1e400')],
  ['malformed-body', raw('Infinity')],
  ['number-too-long', raw('5.00000000000000001')],
  ['number-too-long', raw('12345678901234567')],
  ['malformed-body', '{"kind":"text","text":"a\\u0000b"}'],
  ['malformed-body', '{"kind":"text","text":"a\\ud800b"}'],
  ['duplicate-key', '{"kind":"ph","value":4,"value":5}'],
  ['body-too-deep', `{"kind":"text","text":${'['.repeat(20_000)}${']'.repeat(20_000)}}`],
  ['malformed-body', '{"kind":"ph","value":4'],
  ['malformed-body', '[]'],
  ['malformed-body', 'null'],
])('%s: %s', async (code, text) => {
  await world.refusedRaw(code, path, text);
});

test.each([
  ['validation-failed', {}],
  ['validation-failed', { reasonCode: 'regret' }],
  ['validation-failed', { reasonCode: 'other', note: '' }],
  ['validation-failed', { reasonCode: 'other', replacement: null }],
  ['validation-failed', { reasonCode: 'other', replacement: [] }],
  ['validation-failed', { reasonCode: 'other', struckAt: '2026-01-01T00:00:00Z' }],
  ['not-found', { reasonCode: 'wrong-lot', replacement: { ...gravity, lotId: UNKNOWN_ID } }],
])('a strike is refused: %s, %j', async (code, body) => {
  const made = await world.post(path, gravity);
  await world.refused(code, 'post', `/v1/readings/${made.id}/strike`, body);
});

test("another producer's lots, readings, instruments, people and vessels are unknown", async () => {
  const other = await World.of(service);
  const theirLot = (await other.lot()).id;
  const theirs = {
    readingId: (await other.post(`/v1/lots/${theirLot}/readings`, gravity)).id,
    instrumentId: (await other.post('/v1/instruments', { name: 'H', kind: 'hydrometer', scale: 'sg-20-20' })).id,
    personId: (await other.post('/v1/people', { name: 'B' })).id,
    vesselId: (await other.post('/v1/vessels', { premisesId: other.premisesId, name: 'V', kind: 'tank' })).id,
  };
  const twice = async (method: 'get' | 'post', address: (id: string) => string, id: string, body?: object) =>
    sameRefusal(
      await world.refused('not-found', method, address(id), body),
      await world.refused('not-found', method, address(UNKNOWN_ID), body),
    );
  await twice('get', (id) => `/v1/lots/${id}/readings`, theirLot);
  await twice('post', (id) => `/v1/lots/${id}/readings`, theirLot, gravity);
  await twice('get', (id) => `/v1/readings/${id}`, theirs.readingId);
  await twice('post', (id) => `/v1/readings/${id}/strike`, theirs.readingId, { reasonCode: 'misread' });
  for (const name of ['instrumentId', 'personId', 'vesselId'] as const) {
    sameRefusal(
      await world.refused('not-found', 'post', path, { ...gravity, [name]: theirs[name] }),
      await world.refused('not-found', 'post', path, { ...gravity, [name]: UNKNOWN_ID }),
    );
  }
  const mine = await world.post(path, gravity);
  const strike = (lotId: string) => ({ reasonCode: 'wrong-lot', replacement: { ...gravity, lotId } });
  sameRefusal(
    await world.refused('not-found', 'post', `/v1/readings/${mine.id}/strike`, strike(theirLot)),
    await world.refused('not-found', 'post', `/v1/readings/${mine.id}/strike`, strike(UNKNOWN_ID)),
  );
});

test('there is no way to edit or delete a reading', async () => {
  const { id } = await world.post(path, gravity);
  const before = await service.rowCounts();
  for (const method of ['patch', 'put', 'delete'] as const) {
    const answer = await service.call(method, `/v1/readings/${id}`, { key: world.key, body: gravity });
    expect([404, 405]).toContain(answer.status);
  }
  for (const statement of [
    `UPDATE reading SET value = 1 WHERE id = '${id}'`,
    `DELETE FROM reading WHERE id = '${id}'`,
    `INSERT INTO reading_strike SELECT producer_id, id, 'other', NULL, NULL, now(), 1 FROM reading WHERE id = '${id}'`,
  ]) {
    await withConnection(service.database.appUrl, async (connection) => {
      await connection.query(`SELECT set_config('app.producer', '${world.producerId}', false)`);
      await expect(connection.query(statement)).rejects.toThrow(/permission denied/);
    });
  }
  expect(await service.rowCounts()).toEqual(before);
});

test('a key without the right is refused; a brewer and an integration with readings may enter one', async () => {
  const keyOf = async (body: object) => (await world.post<{ key: string }>('/v1/keys', { name: 'k', ...body })).key;
  for (const body of [{ role: 'auditor' }, { role: 'bookkeeper' }, { role: 'integration', scopes: ['read'] }]) {
    const key = await keyOf(body);
    const before = await service.rowCounts();
    expect((await service.call('post', path, { key, body: gravity })).body.code).toBe('forbidden');
    expect(await service.rowCounts()).toEqual(before);
  }
  for (const body of [{ role: 'brewer' }, { role: 'integration', scopes: ['readings:write'] }]) {
    await service.expect(201, 'post', path, { key: await keyOf(body), body: gravity });
  }
});

test('the trail holds after all of it', () => world.trailHolds());
