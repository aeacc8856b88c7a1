import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { connect } from 'node:net';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { PROBLEM_CODES } from '../../src/platform/problems/problem-codes.js';
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

describe('addresses', () => {
  test.each([
    ['NUL in a path', '/v1/probe/item/%00', 400, 'malformed-url'],
    ['broken encoding in a path', '/v1/probe/item/%zz', 400, 'malformed-url'],
    ['an encoded surrogate', '/v1/probe/item/%ED%A0%80', 400, 'malformed-url'],
    ['NUL in a query', '/v1/probe/numbers?limit=%00', 400, 'malformed-url'],
    ['broken encoding in a query', '/v1/probe/numbers?cursor=%C3', 400, 'malformed-url'],
    ['a reserved name in a query', '/v1/probe/numbers?hasOwnProperty=1', 400, 'malformed-url'],
    ['a key in a query', '/v1/probe/numbers?api_key=gb_live_secret', 400, 'key-in-url'],
    ['a very long address', `/v1/probe/numbers?cursor=${'a'.repeat(3000)}`, 414, 'uri-too-long'],
    ['a very long parameter', `/v1/probe/item/${'a'.repeat(300)}`, 414, 'uri-too-long'],
    ['an id that is none', '/v1/probe/item/1', 400, 'validation-failed'],
    ['an unknown path', '/v1/nothing', 404, 'not-found'],
    ['an unknown path above', '/../etc/passwd', 404, 'not-found'],
    ['an unknown query name', '/v1/probe/numbers?offset=3', 400, 'validation-failed'],
    ['a query name twice', '/v1/probe/numbers?limit=3&limit=4', 400, 'validation-failed'],
    ['a limit of zero', '/v1/probe/numbers?limit=0', 422, 'out-of-range'],
    ['a limit in hex', '/v1/probe/numbers?limit=0x10', 400, 'validation-failed'],
    ['an empty limit', '/v1/probe/numbers?limit=', 400, 'validation-failed'],
    ['a cursor that was not given out', '/v1/probe/numbers?cursor=abcdefgh', 400, 'cursor-malformed'],
  ])('%s', async (_what, path, status, code) => {
    const response = await clientOf(app).get(path);
    expect(problemOf(response)).toMatchObject({ code });
    expect(response.status).toBe(status);
    expect(response.text).not.toContain('gb_live_secret');
  });

  test('a wrong method is told from an unknown path', async () => {
    const response = await clientOf(app).delete('/v1/probe/item/0190a000-0000-7000-8000-000000000000');
    expect(problemOf(response).code).toBe('method-not-allowed');
    expect(response.status).toBe(405);
    expect(response.headers['allow']).toBe('GET, HEAD, OPTIONS');
    const options = await clientOf(app).options('/v1/probe');
    expect([options.status, options.headers['allow']]).toEqual([204, 'OPTIONS, POST']);
    expect((await clientOf(app).options('/v1/nothing')).status).toBe(404);
    expect((await clientOf(app).head('/v1/probe/numbers')).status).toBe(200);
    expect((await clientOf(app).trace('/v1/probe')).status).toBe(405);
  });

  test('a method in a header changes nothing', async () => {
    const response = await clientOf(app).post('/v1/probe/numbers').set('x-http-method-override', 'GET').send({});
    expect(response.status).toBe(405);
  });
});

describe('pages of a list', () => {
  test('follow each other by next and by Link', async () => {
    const first = await clientOf(app).get('/v1/probe/numbers?limit=2');
    expect(first.body).toEqual({ items: [1, 2], next: expect.any(String) });
    const link = /^<([^>]+)>; rel="next"$/.exec(first.headers['link'] ?? '')?.[1] ?? '';
    expect(link).toMatch(/^\/v1\/probe\/numbers\?/);
    const second = await clientOf(app).get(link);
    expect(second.body).toMatchObject({ items: [3, 4] });
    const third = await clientOf(app).get(
      `/v1/probe/numbers?limit=2&cursor=${String((second.body as { next: string }).next)}`,
    );
    expect(third.body).toEqual({ items: [5], next: null });
    expect(third.headers['link']).toBeUndefined();
  });
});

describe('failures', () => {
  test.each([
    ['plain', 500, 'internal-error'],
    ['prisma', 500, 'internal-error'],
    ['unreachable', 503, 'service-unavailable'],
    ['timeout', 503, 'service-unavailable'],
    ['adapter', 503, 'service-unavailable'],
    ['teapot', 400, 'validation-failed'],
    ['metrology', 422, 'out-of-range'],
  ])('%s', async (kind, status, code) => {
    const response = await clientOf(app).get(`/v1/probe/fail/${kind}`);
    expect(problemOf(response).code).toBe(code);
    expect(response.status).toBe(status);
    expect(response.headers['retry-after'] !== undefined).toBe(status === 503);
  });

  test('a refusal of a pure function keeps its pointer, rule and range', async () => {
    const response = await clientOf(app).get('/v1/probe/fail/metrology');
    expect(problemOf(response).errors).toEqual([
      { pointer: '/strength', rule: 'out-of-range', range: [0, 100], unit: '%', detail: expect.any(String) },
    ]);
  });
});

describe('headers', () => {
  test('security headers stand on every answer, and v1 is not cached', async () => {
    for (const path of ['/health/live', '/v1/nothing', '/problems', '/v1/probe/item/%zz']) {
      const { headers } = await clientOf(app).get(path);
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['content-security-policy']).toContain("default-src 'none'");
      expect(headers['x-request-id']).toMatch(/^[0-9a-f-]{36}$/);
    }
    expect((await clientOf(app).get('/v1/probe/numbers')).headers['cache-control']).toBe('no-store');
  });

  test('only a UUID is taken over as the id of a request', async () => {
    const id = 'A1A1A1A1-0000-4000-8000-000000000000';
    expect((await clientOf(app).get('/health/live').set('x-request-id', id)).headers['x-request-id']).toBe(
      id.toLowerCase(),
    );
    for (const odd of ['{"level":50}', 'a'.repeat(500), '1']) {
      const { headers } = await clientOf(app).get('/health/live').set('x-request-id', odd);
      expect(headers['x-request-id']).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7/);
    }
  });

  test('what is no HTTP is answered as a problem too', async () => {
    const server = app.getHttpServer();
    if (!server.listening) {
      await new Promise<void>((resolve) => {
        server.listen(0, '127.0.0.1', resolve);
      });
    }
    const address = server.address();
    const port = typeof address === 'object' && address !== null ? address.port : 0;
    const talk = (text: string): Promise<string> =>
      new Promise((resolve) => {
        const socket = connect(port, '127.0.0.1', () => socket.write(text));
        let answer = '';
        socket.on('data', (chunk) => (answer += chunk.toString('latin1')));
        socket.on('error', () => resolve(answer));
        socket.on('close', () => resolve(answer));
      });
    const cases: [string, string, string][] = [
      ['GET /health/live HTTP/1.1\r\nhost: x\r\nx-a: \u0000\r\n\r\n', '400', 'malformed-request'],
      [`GET /health/live HTTP/1.1\r\nhost: x\r\nx-a: ${'a'.repeat(20_000)}\r\n\r\n`, '431', 'headers-too-large'],
      [
        'POST /v1/probe HTTP/1.1\r\nhost: x\r\ncontent-length: 2\r\ntransfer-encoding: chunked\r\n\r\n{}',
        '400',
        'malformed-request',
      ],
      [
        'POST /v1/probe HTTP/1.1\r\nhost: x\r\ncontent-length: 2\r\ncontent-length: 3\r\n\r\n{}',
        '400',
        'malformed-request',
      ],
    ];
    for (const [text, status, code] of cases) {
      const answer = await talk(text);
      expect(answer).toMatch(new RegExp(`^HTTP/1\\.1 ${status} `));
      expect(answer).toContain('content-type: application/problem+json');
      expect(answer).toContain(`"code":"${code}"`);
    }
  });
});

describe('the pages of the problems', () => {
  test('every code has its page, as data and as HTML', async () => {
    const list = (await clientOf(app).get('/problems')).body as { items: { code: string }[] };
    expect(list.items.map(({ code }) => code)).toEqual(Object.keys(PROBLEM_CODES));
    for (const [code, kind] of Object.entries(PROBLEM_CODES)) {
      const data = await clientOf(app).get(`/problems/${code}`).set('accept', 'application/json');
      expect(data.body).toMatchObject({ code, ...kind });
      const page = await clientOf(app).get(`/problems/${code}`).set('accept', 'text/html,*/*');
      expect(page.headers['content-type']).toMatch(/^text\/html/);
      expect(page.text).toContain(code);
      expect(page.text).not.toMatch(/<script|https?:\/\//);
    }
    expect((await clientOf(app).get('/problems/of-another-kind')).status).toBe(404);
  });
});

test('the glossary is a page, and the reference links to it', async () => {
  const page = await clientOf(app).get('/glossary');
  expect(page.headers['content-type']).toMatch(/^text\/html/);
  expect(page.text).toContain('<td>of record</td>');
  const { body } = await clientOf(app).get('/openapi.json');
  expect((body as { externalDocs: { url: string } }).externalDocs.url).toBe('/glossary');
});
