import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold } from '../support/books-hold.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import type { ProblemBody } from '../support/problem.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { writeBodies } from '../support/write-bodies.js';

type Json = Record<string, unknown>;

let service: TestService;
let own: FullProducer;
let spirit: { lotId: string; vesselId: string };
let counts: Record<string, number>;

const litres = (value: unknown) => ({ value, unit: 'L' });
const percent = (value: unknown) => ({ value, unit: '%' });
const sg = (value: unknown) => ({ value, scale: 'sg-20-20' });

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  own = await fullProducer(service);
  const { floor, ids } = own;
  const vesselId = await floor.vessel('MT1', 'mixing-tank');
  const lotId = await floor.lot('spirit-based');
  await floor.post(`/v1/lots/${lotId}/spirit-charges`, {
    vesselId,
    spirits: [{ materialLotId: ids['material-lots'], volume: litres(5) }],
    targetStrength: percent(5),
    occurredAt: '2026-03-05T09:00:00Z',
  });
  spirit = { lotId, vesselId };
  counts = await service.rowCounts();
});
afterAll(async () => {
  await expectBooksHold(service, own.floor.producerId, own.floor.key);
  await service.stop();
});

/** Refused with a whole problem document, and no row of any table is more: trail and idempotency included. */
async function refused(path: string, body: unknown, raw?: string): Promise<ProblemBody & Json> {
  const headers = { 'idempotency-key': `bad-${Math.random()}`, 'content-type': 'application/json' };
  const call = service.call('post', path, { key: own.floor.key, headers });
  const answer = await call.send(raw ?? JSON.stringify(body));
  expect([path, answer.status]).toEqual([path, expect.any(Number)]);
  expect(answer.status).toBeGreaterThanOrEqual(400);
  expect(answer.status).toBeLessThan(500);
  const problem = problemOf(answer) as ProblemBody & Json;
  expect(await service.rowCounts()).toEqual(counts);
  return problem;
}

/** What JSON cannot say in JavaScript is put in as text. */
const withRaw = (body: Json, text: string): string => JSON.stringify(body).replace('"RAW"', text);

describe('numbers', () => {
  const NOT_NUMBERS: readonly (readonly [string, string])[] = [
    ['NaN', 'NaN'],
    ['Infinity', 'Infinity'],
    ['1e400', '1e400'],
    ['-1e400', '-1e400'],
    ['17 digits', '1.0000000000000001'],
    ['a whole number of 17 digits', '90071992547409931'],
    ['7 decimals', '1.0000001'],
    ['a negative', '-1'],
    ['negative zero', '-0'],
    ['zero', '0'],
    ['a text', '"5"'],
    ['an empty text', '""'],
    ['hexadecimal', '0x10'],
    ['true', 'true'],
    ['null', 'null'],
    ['a list', '[5]'],
    ['far too much', '1e15'],
  ];
  const VOLUMES: readonly (readonly [string, (ids: FullProducer['ids']) => Json])[] = [
    ['/v1/lots/{lots}/charges', ({ 'empty-vessels': vesselId }) => ({ vesselId, volume: litres('RAW') })],
    ['/v1/lots/{lots}/gauges', ({ vessels: vesselId }) => ({ vesselId, volume: litres('RAW') })],
    [
      '/v1/lots/{lots}/transfers',
      (ids) => ({ fromVesselId: ids.vessels, toVesselId: ids['empty-vessels'], volume: litres('RAW') }),
    ],
    ['/v1/lots/{lots}/dilutions', ({ vessels: vesselId }) => ({ vesselId, water: litres('RAW') })],
    ['/v1/lots/{lots}/dilutions', ({ vessels: vesselId }) => ({ vesselId, targetStrength: percent('RAW') })],
    [
      '/v1/lots/{lots}/packagings',
      ({ vessels: vesselId }) => ({
        vesselId,
        container: 'bottle',
        nominalVolume: litres('RAW'),
        count: 1,
        declaredStrength: percent(4.8),
      }),
    ],
    ['/v1/movements', (ids) => ({ kind: 'sample', lotId: ids.lots, vesselId: ids.vessels, volume: litres('RAW') })],
    [
      '/v1/material-lots',
      (ids) => ({ materialId: ids.materials, premisesId: ids.premises, code: 'X', volume: litres('RAW') }),
    ],
  ];
  test.each(VOLUMES)('%s takes none of what is not a sound amount', async (path, body) => {
    for (const [what, text] of NOT_NUMBERS) {
      const problem = await refused(path.replace('{lots}', own.ids.lots), undefined, withRaw(body(own.ids), text));
      expect([what, problem.code]).toEqual([
        what,
        expect.stringMatching(/^(malformed-body|number-too-long|validation-failed|out-of-range)$/),
      ]);
    }
  });

  test.each(['0', '-1', '1.5', '1e400', '"5"', 'null', 'true', '99999999999', '1.0000000000000001'])(
    'a count of %s is refused, of what is packed and of what is moved',
    async (count) => {
      const { ids } = own;
      const packed = { ...writeBodies(own)['POST /v1/lots/{id}/packagings'], count: 'RAW' };
      await refused(`/v1/lots/${ids.lots}/packagings`, undefined, withRaw(packed, count));
      const moved = { kind: 'release', packagedLotId: ids['packaged-lots'], count: 'RAW' };
      await refused('/v1/movements', undefined, withRaw(moved, count));
    },
  );

  test.each([
    ['10.32', 10.32, /10\.32|1\.032/],
    ['0.5', 0.5, /./],
    ['1.3', 1.3, /./],
    ['0', 0, /./],
    ['1.03200001', 1.03200001, /./],
  ])('a gravity of %s is refused, saying what was probably meant where it can be told', async (_, value, says) => {
    const path = `/v1/lots/${own.ids.lots}/readings`;
    const problem = await refused(path, { kind: 'gravity', gravity: sg(value) });
    expect(JSON.stringify(problem)).toMatch(says);
    if (value === 10.32) {
      expect(JSON.stringify(problem)).toMatch(/1\.032/);
    }
  });
});

describe('units, scales and names', () => {
  test.each([
    ['unit-unknown', { volume: { value: 1, unit: 'bucket' } }],
    ['unit-unknown', { volume: { value: 1, unit: 'kg' } }],
    ['unit-unknown', { volume: { value: 1, unit: '__proto__' } }],
    ['unit-unknown', { volume: { value: 1, unit: 'toString' } }],
    ['unit-unknown', { volume: { value: 1 } }],
    ['validation-failed', { volume: 1 }],
    ['validation-failed', { volume: { value: 1, unit: 'L', extra: true } }],
    ['validation-failed', { colour: 'red' }],
    ['validation-failed', { lpaFermented: 5 }],
    ['validation-failed', { producerId: '018f0000-0000-7000-8000-000000000000' }],
    ['out-of-range', { temperature: { value: 101, unit: 'Cel' } }],
    ['out-of-range', { temperature: { value: -6, unit: 'Cel' } }],
    ['unit-unknown', { temperature: { value: 20, unit: 'K' } }],
  ])('%s: %j', async (code, change) => {
    const body = { vesselId: own.ids.vessels, volume: litres(100), ...change };
    expect((await refused(`/v1/lots/${own.ids.lots}/gauges`, body)).code).toBe(code);
  });

  test('an unknown scale is refused with those that there are', async () => {
    const body = { kind: 'gravity', gravity: { value: 1.01, scale: 'sg' } };
    const problem = await refused(`/v1/lots/${own.ids.lots}/readings`, body);
    expect(problem.code).toBe('scale-unknown');
    expect(JSON.stringify(problem)).toContain('sg-20-20');
  });
});

describe('what the books or the physics refuse', () => {
  const on = (path: string) => path.replace('{lots}', own.ids.lots);
  const at = { occurredAt: '2026-03-20T09:00:00Z' };

  test('target above the start in a dilution', async () => {
    const body = { vesselId: own.ids.vessels, targetStrength: percent(40), ...at };
    expect((await refused(on('/v1/lots/{lots}/dilutions'), body)).status).toBe(422);
  });

  test.each([
    ['/v1/lots/{lots}/packagings', { count: 100_000 }],
    ['/v1/lots/{lots}/packagings', { count: 100_000, reasonCode: 'counting-error' }],
  ])('%s with far more than there is: %j', async (path, change) => {
    const body = { ...writeBodies(own)['POST /v1/lots/{id}/packagings'], ...at, ...change };
    const problem = await refused(on(path), body);
    expect(problem.code).toBe('insufficient-stock');
  });

  test('releasing what is not packed, more than is packed, and what left already', async () => {
    const { ids } = own;
    const bulk = { kind: 'release', lotId: ids.lots, vesselId: ids.vessels, volume: litres(1), ...at };
    expect((await refused('/v1/movements', bulk)).code).toBe('not-packed');
    const packed = { kind: 'release', packagedLotId: ids['packaged-lots'], count: 301, ...at };
    expect((await refused('/v1/movements', packed)).code).toBe('insufficient-stock');
    expect((await refused('/v1/movements', { ...packed, count: 277 })).code).toBe('insufficient-stock');
  });

  test('strength by original gravity after a dilution or of what was made from spirit', async () => {
    for (const method of ['mass-balance', 'gravity-drop-table']) {
      const body = { method, standing: 'supporting' };
      expect((await refused(`/v1/lots/${spirit.lotId}/findings`, body)).code).toBe('method-not-applicable');
    }
  });

  test('a density or an alcoholometer without saying why the liquid has no extract', async () => {
    for (const method of ['alcohol-density', 'alcoholometer']) {
      const body = { method, standing: 'supporting', readingId: own.ids.readings };
      expect((await refused(on('/v1/lots/{lots}/findings'), body)).status).toBeGreaterThanOrEqual(400);
    }
  });
});

describe('gravities that disagree', () => {
  let lotId: string;
  let readings: string[];
  beforeAll(async () => {
    const { floor, ids } = own;
    lotId = await floor.lot();
    const charge = { vesselId: ids['empty-vessels'], volume: litres(100), occurredAt: '2026-03-18T09:00:00Z' };
    await floor.post(`/v1/lots/${lotId}/charges`, charge);
    readings = [];
    for (const [hour, value] of [1.03, 1.05, 0.985, 1.17, 0.994].entries()) {
      readings.push(await floor.gravity(lotId, value, `2026-03-19T${String(hour + 8).padStart(2, '0')}:00:00Z`));
    }
    counts = await service.rowCounts();
  });
  const find = (method: string, original: number, final: number) =>
    refused(`/v1/lots/${lotId}/findings`, {
      method,
      originalReadingId: readings[original],
      finalReadingId: readings[final],
      occurredAt: '2026-03-20T09:00:00Z',
    });

  test('final above original', async () => {
    expect((await find('mass-balance', 0, 1)).code).toBe('readings-disagree');
    expect((await find('gravity-drop-table', 0, 1)).status).toBeGreaterThanOrEqual(400);
  });

  test('real extract below zero beyond its uncertainty', async () => {
    expect((await find('mass-balance', 0, 2)).code).toBe('readings-disagree');
  });

  test('a drop past the last row of the table', async () => {
    expect((await find('gravity-drop-table', 3, 4)).code).toBe('out-of-range');
  });
});

describe('bodies', () => {
  const path = '/v1/people';
  test.each([
    ['nothing', ''],
    ['null', 'null'],
    ['a list', '[]'],
    ['a text', '"x"'],
    ['broken', '{"name":'],
    ['a NUL', '{"name":"a\\u0000b"}'],
    ['a lone surrogate', '{"name":"\\ud800"}'],
    ['a key twice', '{"name":"a","name":"b"}'],
    ['20,000 nested lists', `{"name":${'['.repeat(20_000)}${']'.repeat(20_000)}}`],
    ['__proto__', '{"name":"a","__proto__":{"x":1}}'],
    ['constructor', '{"name":"a","constructor":{"prototype":{"x":1}}}'],
  ])('%s', async (_, text) => {
    await refused(path, undefined, text);
    expect(Reflect.get({}, 'x')).toBeUndefined();
  });

  test('over the limit', async () => {
    expect((await refused(path, undefined, `{"name":"${'x'.repeat(2_000_000)}"}`)).status).toBe(413);
  });
});
