import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { connect } from 'node:net';
import { gzipSync } from 'node:zlib';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { bootModules, clientOf } from '../support/http.js';
import { ProbeModule } from '../support/probe.js';
import { problemOf } from '../support/problem.js';

let app: NestFastifyApplication;

beforeAll(async () => {
  app = await bootModules(PlatformModule, ProbeModule);
});
afterAll(async () => {
  await app.close();
});

const post = async (body: unknown, path = '/v1/probe') => {
  const response = await clientOf(app).post(path).set('content-type', 'application/json').send(JSON.stringify(body));
  return { response, status: response.status, problem: response.status < 400 ? undefined : problemOf(response) };
};

const raw = async (text: string | Buffer, headers: Record<string, string> = {}) => {
  const response = await clientOf(app)
    .post('/v1/probe')
    .set({ 'content-type': 'application/json', ...headers })
    .serialize((value: unknown) => value as string)
    .send(text as string);
  return { status: response.status, problem: response.status < 400 ? undefined : problemOf(response) };
};

describe('bodies that cannot be read', () => {
  test.each([
    ['broken JSON', '{"name":', 'malformed-body', 'not-json'],
    ['nothing', '', 'malformed-body', 'empty'],
    ['null', 'null', 'malformed-body', 'not-an-object'],
    ['a list', '[]', 'malformed-body', 'not-an-object'],
    ['a string', '"x"', 'malformed-body', 'not-an-object'],
    ['NaN', '{"ph":NaN}', 'malformed-body', 'not-json'],
    ['Infinity', '{"ph":Infinity}', 'malformed-body', 'not-json'],
    ['1e400', '{"ph":1e400}', 'number-too-long', 'number-too-large'],
    ['18 digits', '{"ph":1.23456789012345678}', 'number-too-long', 'too-many-digits'],
    ['a digit that a double drops', '{"ph":1.0000000000000001}', 'number-too-long', 'number-not-held'],
    ['minus zero', '{"ph":-0}', 'malformed-body', 'negative-zero'],
    ['NUL', '{"name":"a\\u0000"}', 'malformed-body', 'nul'],
    ['a lone surrogate', '{"name":"\\ud800"}', 'malformed-body', 'lone-surrogate'],
    ['a duplicate name', '{"name":"a","name":"b"}', 'duplicate-key', 'duplicate-key'],
    ['__proto__', '{"__proto__":{"x":1}}', 'malformed-body', 'reserved-name'],
    ['20,000 nested arrays', `{"inners":${'['.repeat(20_000)}${']'.repeat(20_000)}}`, 'body-too-deep', 'too-deep'],
  ])('%s', async (_what, text, code, rule) => {
    const { status, problem } = await raw(text);
    expect(status).toBe(400);
    expect(problem).toMatchObject({ code, errors: [{ rule }] });
    expect(({} as Record<string, unknown>)['x']).toBeUndefined();
  });

  test.each([
    ['another media type', { 'content-type': 'text/plain' }],
    ['a form', { 'content-type': 'application/x-www-form-urlencoded' }],
    ['utf-16', { 'content-type': 'application/json; charset=utf-16' }],
    ['a gzip label', { 'content-encoding': 'gzip' }],
  ])('%s is 415', async (_what, headers: Record<string, string>) => {
    const { status, problem } = await raw('{"name":"a"}', headers);
    expect(status).toBe(415);
    expect(problem?.code).toBe('unsupported-media-type');
  });

  test('a real gzip body is 415, and UTF-8 by name is taken', async () => {
    expect((await raw(gzipSync('{"name":"a"}'), { 'content-encoding': 'gzip' })).status).toBe(415);
    expect((await raw('{"name":"a"}', { 'content-type': 'application/json; charset=UTF-8' })).status).toBe(201);
  });

  test('a body over the limit is 413, also when it comes in pieces without a length', async () => {
    const big = JSON.stringify({ note: 'x'.repeat(300_000) });
    expect((await raw(big)).problem?.code).toBe('body-too-large');
    const server = app.getHttpServer();
    await new Promise<void>((resolve) => {
      server.listen(0, '127.0.0.1', resolve);
    });
    const address = server.address();
    const port = typeof address === 'object' && address !== null ? address.port : 0;
    const answer = await new Promise<string>((resolve) => {
      const socket = connect(port, '127.0.0.1');
      let text = '';
      socket.on('data', (chunk) => (text += chunk.toString('latin1')));
      socket.on('error', () => resolve(text));
      socket.on('close', () => resolve(text));
      socket.write(
        'POST /v1/probe HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\ntransfer-encoding: chunked\r\n\r\n',
      );
      for (let piece = 0; piece < 40; piece++) {
        socket.write(`2710\r\n${'x'.repeat(10_000)}\r\n`);
      }
      socket.end('0\r\n\r\n');
    });
    expect(answer).toMatch(/^HTTP\/1\.1 413 /);
    expect(answer).toContain('"code":"body-too-large"');
  });
});

describe('values that are refused', () => {
  const id = '0190a000-0000-7000-8000-000000000000';
  test.each([
    ['an unknown property', { name: 'a', tenantId: 'x' }, 400, 'validation-failed', '/tenantId', 'unknown-property'],
    [
      'an unknown property deep down',
      { inner: { label: 'a', seq: 1 } },
      400,
      'validation-failed',
      '/inner/seq',
      'unknown-property',
    ],
    [
      'an unknown property of a quantity',
      { volume: { value: 1, unit: 'L', hash: 1 } },
      400,
      'validation-failed',
      '/volume/hash',
      'unknown-property',
    ],
    ['null for what may be absent', { name: null }, 400, 'validation-failed', '/name', 'not-null'],
    ['an unknown unit', { volume: { value: 1, unit: 'bushel' } }, 400, 'unit-unknown', '/volume/unit', 'unknown-unit'],
    [
      'a unit named like a method',
      { volume: { value: 1, unit: 'valueOf' } },
      400,
      'unit-unknown',
      '/volume/unit',
      'unknown-unit',
    ],
    ['a mass for a volume', { volume: { value: 1, unit: 'kg' } }, 400, 'unit-unknown', '/volume/unit', 'unknown-unit'],
    ['a number as text', { volume: { value: '5', unit: 'L' } }, 400, 'validation-failed', '/volume/value', 'type'],
    ['a bare number for a quantity', { volume: 5 }, 400, 'validation-failed', '/volume', 'type'],
    ['a list for a quantity', { volume: [] }, 400, 'validation-failed', '/volume', 'type'],
    [
      'seven decimals',
      { volume: { value: 1.1234567, unit: 'L' } },
      400,
      'validation-failed',
      '/volume/value',
      'too-many-decimals',
    ],
    [
      'seven decimals by exponent',
      { volume: { value: 1e-7, unit: 'L' } },
      400,
      'validation-failed',
      '/volume/value',
      'too-many-decimals',
    ],
    ['a negative volume', { volume: { value: -1, unit: 'L' } }, 422, 'out-of-range', '/volume/value', 'out-of-range'],
    ['a zero volume', { volume: { value: 0, unit: 'L' } }, 422, 'out-of-range', '/volume/value', 'out-of-range'],
    [
      'a volume too large, in its own unit',
      { volume: { value: 20_000, unit: 'hL' } },
      422,
      'out-of-range',
      '/volume/value',
      'out-of-range',
    ],
    [
      'a temperature outside the method',
      { temperature: { value: 120, unit: '[degF]' } },
      422,
      'out-of-range',
      '/temperature/value',
      'out-of-range',
    ],
    [
      'an unknown scale',
      { gravity: { value: 1.05, scale: 'sg' } },
      400,
      'scale-unknown',
      '/gravity/scale',
      'unknown-scale',
    ],
    [
      'gravity 0.5',
      { gravity: { value: 0.5, scale: 'sg-20-20' } },
      422,
      'out-of-range',
      '/gravity/value',
      'out-of-range',
    ],
    [
      'gravity 1.31',
      { gravity: { value: 1.31, scale: 'sg-20-20' } },
      422,
      'out-of-range',
      '/gravity/value',
      'suspicious-gravity',
    ],
    ['a time without offset', { at: '2026-06-30T23:30:00' }, 400, 'validation-failed', '/at', 'offset-missing'],
    ['30 February', { at: '2026-02-30T12:00:00Z' }, 400, 'validation-failed', '/at', 'not-a-date'],
    ['month 13', { at: '2026-13-01T12:00:00Z' }, 400, 'validation-failed', '/at', 'not-a-date'],
    ['24:00', { at: '2026-01-01T24:00:00Z' }, 400, 'validation-failed', '/at', 'not-a-time'],
    ['a leap second', { at: '2026-06-30T23:59:60Z' }, 400, 'validation-failed', '/at', 'leap-second'],
    ['the year 9999', { at: '9999-01-01T00:00:00Z' }, 400, 'validation-failed', '/at', 'outside-window'],
    ['the year 0001', { at: '0001-01-01T00:00:00Z' }, 400, 'validation-failed', '/at', 'outside-window'],
    ['a year of six digits', { at: '+275760-01-01T00:00:00Z' }, 400, 'validation-failed', '/at', 'form'],
    ['a week date', { at: '2026-W05' }, 400, 'validation-failed', '/at', 'form'],
    ['a digit for a time', { at: '1' }, 400, 'validation-failed', '/at', 'form'],
    ['a number for a time', { at: 5 }, 400, 'validation-failed', '/at', 'type'],
    ['an offset that no place has', { at: '2026-01-01T00:00:00+15:00' }, 400, 'validation-failed', '/at', 'not-a-time'],
    ['30 February as a date', { day: '2026-02-30' }, 400, 'validation-failed', '/day', 'not-a-date'],
    ['a time for a date', { day: '2026-02-03T00:00:00Z' }, 400, 'validation-failed', '/day', 'form'],
    ['a count of zero', { count: 0 }, 422, 'out-of-range', '/count', 'out-of-range'],
    ['half a count', { count: 1.5 }, 422, 'out-of-range', '/count', 'not-whole'],
    ['a count as text', { count: ' 7 ' }, 400, 'validation-failed', '/count', 'type'],
    ['an empty text for a number', { ph: '' }, 400, 'validation-failed', '/ph', 'type'],
    ['true for a number', { ph: true }, 400, 'validation-failed', '/ph', 'type'],
    ['"false" for false', { degassed: 'false' }, 400, 'validation-failed', '/degassed', 'type'],
    ['1 for true', { degassed: 1 }, 400, 'validation-failed', '/degassed', 'type'],
    ['a word that is not in the list', { kind: 'toString' }, 400, 'validation-failed', '/kind', 'one-of'],
    ['a list for a word', { kind: ['sugar'] }, 400, 'validation-failed', '/kind', 'type'],
    ['no id', { lotId: 'LOT-1' }, 400, 'validation-failed', '/lotId', 'id'],
    ['an id twice', { lotIds: [id, id] }, 400, 'validation-failed', '/lotIds', 'not-unique'],
    ['too many ids', { lotIds: [id, id, id, id] }, 422, 'not-computable', '/lotIds', 'too-many'],
    ['a text too long', { name: 'x'.repeat(21) }, 400, 'validation-failed', '/name', 'length'],
    ['blanks only', { name: '   ' }, 400, 'validation-failed', '/name', 'length'],
    ['a tab in a name', { name: 'a\tb' }, 400, 'validation-failed', '/name', 'hidden-character'],
    ['a mark that turns the direction', { name: 'a\u202eb' }, 400, 'validation-failed', '/name', 'hidden-character'],
    ['a list for an object', { inner: [] }, 400, 'validation-failed', '/inner', 'type'],
    ['a text for an object', { inner: 'x' }, 400, 'validation-failed', '/inner', 'type'],
    ['lists for objects in a list', { inners: [[{ label: 'a' }]] }, 400, 'validation-failed', '/inners/0', 'type'],
    ['nothing in a list that needs one', { inners: [] }, 422, 'not-computable', '/inners', 'too-few'],
  ])('%s', async (_what, body, status, code, pointer, rule) => {
    const { status: got, problem } = await post(body);
    expect(problem).toMatchObject({
      code,
      errors: expect.arrayContaining([expect.objectContaining({ pointer, rule })]),
    });
    expect(got).toBe(status);
  });

  test.each([
    [10.32, 1.032],
    [1032, 1.032],
    [103.2, 1.032],
  ])('a lost decimal point, %d, is answered with what was probably meant', async (value, meant) => {
    const { status, problem } = await post({ gravity: { value, scale: 'sg-20-20' } });
    expect(status).toBe(422);
    expect(problem?.code).toBe('out-of-range');
    expect(problem?.errors?.[0]).toMatchObject({ pointer: '/gravity/value', suggestion: String(meant) });
    expect(problem?.detail).toContain(String(meant));
  });

  test('the range and the list stand in the error as data', async () => {
    const range = await post({ temperature: { value: 41, unit: 'Cel' } });
    expect(range.problem?.errors?.[0]).toMatchObject({ range: [0, 40], unit: 'Cel' });
    const unit = await post({ temperature: { value: 41, unit: 'K' } });
    expect(unit.problem?.errors?.[0].allowed).toEqual(['Cel', '[degF]']);
  });

  test('what is missing is said to be missing', async () => {
    for (const body of [{}, { name: undefined }]) {
      const { status, problem } = await post(body, '/v1/probe/needed');
      expect(status).toBe(400);
      expect(problem?.errors).toEqual([expect.objectContaining({ pointer: '/name', rule: 'required' })]);
    }
    const none = await clientOf(app).post('/v1/probe/needed');
    expect(problemOf(none).errors?.[0].rule).toBe('required');
  });

  test('a text that looks like a template stays one', async () => {
    const { problem } = await post({ kind: '$value $property {{x}} "quoted"' });
    expect(problem?.errors?.[0].rule).toBe('one-of');
  });

  test('a hundred wrong rows give a capped list', async () => {
    const { problem } = await post({ inners: Array.from({ length: 100 }, () => ({ label: 5, x: 1 })) });
    expect(problem?.errors).toHaveLength(50);
    expect(problem?.errorCount).toBe(200);
  });
});

describe('what is taken', () => {
  test('a good body arrives as it was sent, texts tidied', async () => {
    const body = {
      name: '  Cafe\u0301  ',
      note: 'two\nlines',
      volume: { value: 12.5, unit: '[gal_us]' },
      temperature: { value: 68, unit: '[degF]' },
      gravity: {
        value: 0.99,
        scale: 'sg-20-20',
        sampleTemperature: { value: 23, unit: 'Cel' },
        standardUncertainty: 0.0005,
      },
      at: '2026-02-28T23:30:00.125+05:30',
      day: '2028-02-29',
      ph: 4.25,
      count: 24,
      degassed: false,
      kind: 'malt',
      lotId: '0190A000-0000-7000-8000-000000000000',
      lotIds: [],
      inner: { label: 'a' },
      inners: [{ label: 'b' }],
    };
    const { response } = await post(body);
    expect(response.status).toBe(201);
    // The answer gives quantities in the other system of units too: 12.5 US gallons of 3.785411784 L are 47.31765 L.
    expect(response.body).toEqual({
      ...body,
      name: 'Café',
      lotId: body.lotId.toLowerCase(),
      volume: { ...body.volume, alsoIn: { value: 47.31765, unit: 'L' } },
      temperature: { ...body.temperature, alsoIn: { value: 20, unit: 'Cel' } },
      gravity: {
        ...body.gravity,
        sampleTemperature: { ...body.gravity.sampleTemperature, alsoIn: { value: 73.4, unit: '[degF]' } },
      },
    });
  });
});
