import { readFileSync } from 'node:fs';
import { SteppableClock, SystemClock } from '../../src/platform/clock.js';
import { Readiness } from '../../src/platform/health/readiness.js';
import { pathForLog } from '../../src/platform/http/url-rules.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { decodeCursor, encodeCursor } from '../../src/platform/pagination.js';
import { parseInstant } from '../../src/platform/validation/instant.js';
import { decimalPlaces } from '../../src/platform/validation/number-rules.js';
import { VERSION } from '../../src/platform/version.js';
import { bootModules, clientOf } from '../support/http.js';

test('a steppable clock stands until it is moved, and never goes back', () => {
  const clock = new SteppableClock(new Date('2026-01-01T00:00:00Z'));
  clock.advance(1500);
  expect(clock.now().toISOString()).toBe('2026-01-01T00:00:01.500Z');
  expect(() => clock.set(new Date('2025-12-31T00:00:00Z'))).toThrow(RangeError);
  expect(() => clock.advance(-1)).toThrow(RangeError);
  expect(() => new SteppableClock(new Date('no'))).toThrow(RangeError);
  expect(Math.abs(new SystemClock().now().getTime() - Date.now())).toBeLessThan(1000);
});

test('a cursor is good for its own list and only as it was given out', () => {
  const cursor = encodeCursor('lots', ['Öl', 17]);
  expect(cursor).toMatch(/^[A-Za-z0-9_-]+$/);
  expect(decodeCursor('lots', cursor, ['string', 'number'])).toEqual(['Öl', 17]);
  expect(() => decodeCursor('readings', cursor, ['string', 'number'])).toThrow(/cursor/);
  expect(() => decodeCursor('lots', cursor, ['number', 'number'])).toThrow(/cursor/);
  for (let at = 0; at < cursor.length; at++) {
    const other = cursor[at] === 'A' ? 'B' : 'A';
    const changed = cursor.slice(0, at) + other + cursor.slice(at + 1);
    const sameBytes = Buffer.from(changed, 'base64url').equals(Buffer.from(cursor, 'base64url'));
    if (!sameBytes) {
      expect(() => decodeCursor('lots', changed, ['string', 'number'])).toThrow(/cursor/);
    }
  }
});

test('decimal places are counted as they were written', () => {
  const cases: [number, number][] = [
    [0, 0],
    [5, 0],
    [0.1, 1],
    [1e-7, 7],
    [1.5e-7, 8],
    [1e21, 0],
    [1.25e21, 0],
    [123456.123456, 6],
    [0.30000000000000004, 17],
  ];
  for (const [value, places] of cases) {
    expect([value, decimalPlaces(value)]).toEqual([value, places]);
    expect(decimalPlaces(-value)).toBe(places);
  }
});

test('an instant keeps its moment, and only a checked text is parsed', () => {
  expect(parseInstant('2026-03-01T00:30:00+01:00').toISOString()).toBe('2026-02-28T23:30:00.000Z');
  expect(() => parseInstant('2026-03-01')).toThrow(RangeError);
  expect(() => parseInstant('2026-02-29T00:00:00Z')).toThrow(RangeError);
});

test('the version is that of package.json', () => {
  const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
    version: string;
  };
  expect(VERSION).toBe(version);
});

test('readiness asks every part, and flips when the service is on its way out', async () => {
  const app = await bootModules(PlatformModule);
  const readiness = app.get(Readiness);
  try {
    expect((await clientOf(app).get('/health/ready')).body).toEqual({ status: 'ready', checks: {} });
    let up = true;
    readiness.register('database', () => (up ? Promise.resolve() : Promise.reject(new Error('password=secret'))));
    expect((await clientOf(app).get('/health/ready')).body).toEqual({ status: 'ready', checks: { database: 'up' } });
    up = false;
    const down = await clientOf(app).get('/health/ready');
    expect(down.status).toBe(503);
    expect(JSON.parse(down.text)).toMatchObject({ code: 'service-unavailable', checks: { database: 'down' } });
    expect(down.text).not.toContain('secret');
    up = true;
    readiness.drain();
    expect((await clientOf(app).get('/health/ready')).status).toBe(503);
    expect((await clientOf(app).get('/health/live')).status).toBe(200);
  } finally {
    await app.close();
  }
});

test('the query of an address is never logged, whatever it holds', () => {
  expect(pathForLog('/v1/lots?api_key=secret&x=?secret')).toBe('/v1/lots');
  expect(pathForLog(`/${'a'.repeat(5000)}`)).toHaveLength(256);
});
