import { randomUUID } from 'node:crypto';
import type { Response } from 'supertest';
import { SteppableClock } from '../../src/platform/clock.js';
import { withConnection } from '../../src/platform/database/connection.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { problemOf } from '../support/problem.js';
import type { Route } from '../support/routes.js';
import { collectionOf, routesOf, valueAt, withValueAt } from '../support/routes.js';
import { OPERATOR_KEY, TestService } from '../support/service.js';
import { correctsOf, otherForms, writeBodies } from '../support/write-bodies.js';

let service: TestService;
let own: FullProducer;
let other: FullProducer;
/** Every route of the service, and those of them whose ids the lists of these tests have. */
let all: Route[];
let routes: Route[];
let auditorKey: string;
let before: Record<string, string>;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  own = await fullProducer(service);
  other = await fullProducer(service);
  all = await routesOf(service);
  routes = all.filter(({ path }) => !path.includes('{id}') || other.ids[String(collectionOf(path))] !== undefined);
  auditorKey = String((await own.floor.post('/v1/keys', { name: 'Reads', role: 'auditor' })).key);
  before = await rowsOf();
});
afterAll(() => service.stop());

// Whatever the tests did, the other producer's rows are what they were.
afterEach(async () => {
  expect(await rowsOf()).toEqual(before);
});

/** Every row of the other producer, a hash a table. */
const rowsOf = (): Promise<Record<string, string>> =>
  withConnection(service.database.superuserUrl, async (db) => {
    const tables = await db.query<{ name: string; key: string }>(
      `SELECT c.relname::text AS name, CASE c.relname WHEN 'producer' THEN 'id' ELSE 'producer_id' END AS key FROM pg_class c
        WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace AND c.relrowsecurity ORDER BY 1`,
    );
    const contents: Record<string, string> = {};
    for (const { name, key } of tables.rows) {
      const { rows } = await db.query<{ hash: string }>(
        `SELECT count(*) || ' ' || coalesce(md5(string_agg(md5(t::text), '' ORDER BY md5(t::text))), '') AS hash FROM "${name}" t WHERE ${key} = $1`,
        [other.floor.producerId],
      );
      contents[name] = rows[0].hash;
    }
    return contents;
  });

/** All that a caller can tell of an answer, but for the id that it asked for and what is new with every request. */
function seen(response: Response, id: string): unknown {
  const headers = Object.fromEntries(
    Object.entries(response.headers as Record<string, string>).filter(
      ([name]) => !['date', 'x-request-id', 'ratelimit-remaining', 'ratelimit-reset'].includes(name),
    ),
  );
  const text = response.text.replaceAll(String(response.headers['x-request-id']), 'REQUEST').replaceAll(id, 'ID');
  return { status: response.status, headers, text };
}

const withIds = (path: string, id: string, of = own): string =>
  path.replace('{id}', id).replace('{number}', '1').replace('{mappingId}', of.ids['return-mappings']);

/** The body that a route is called with; one that the list lacks is called with an empty one, and has a test of its own. */
const bodyOf = (route: Route, of: FullProducer): object => writeBodies(of)[route.name] ?? {};

const call = (route: Route, path: string, body: unknown, key: string) =>
  service.call(route.method, path, {
    key,
    body: route.hasBody ? body : undefined,
    headers: { ...(route.method === 'patch' ? { 'if-match': '"v1"' } : {}) },
  });

test('the lists that these tests go by have every route: nothing is new without being tried', () => {
  const bodies = writeBodies(own);
  const writing = all.filter(({ writes, hasBody, access }) => writes && hasBody && access !== 'operator');
  expect(writing.map(({ name }) => name).filter((name) => bodies[name] === undefined)).toEqual([]);
  expect(all.map(({ name }) => name).filter((name) => !routes.some((route) => route.name === name))).toEqual([]);
  expect(cases().missing).toEqual([]);
});

test('every route with an id answers another producer’s as one that nobody has, down to the byte', async () => {
  const withId = routes.filter(({ path, access }) => path.includes('{id}') && access !== 'operator');
  expect(withId.length).toBeGreaterThan(30);
  for (const route of withId) {
    const id = other.ids[String(collectionOf(route.path))];
    const unknown = randomUUID();
    const body = bodyOf(route, own);
    const foreign = await call(route, withIds(route.path, id), body, own.floor.key);
    const nobodys = await call(route, withIds(route.path, unknown), body, own.floor.key);
    expect([route.name, seen(foreign, id)]).toEqual([route.name, seen(nobodys, unknown)]);
    expect([route.name, foreign.status]).toEqual([route.name, 404]);
    problemOf(foreign);
  }
});

test('another producer’s mapping makes no return of an own period', async () => {
  const returnBy = (mapping: string) =>
    service.call('get', `/v1/periods/${own.ids.periods}/returns/${mapping}`, { key: own.floor.key });
  const [foreignId, unknown] = [other.ids['return-mappings'], randomUUID()];
  const [foreign, nobodys] = [await returnBy(foreignId), await returnBy(unknown)];
  expect(seen(foreign, foreignId)).toEqual(seen(nobodys, unknown));
  expect(foreign.status).toBe(404);
});

test('the ids of these tests are real: their own producer reads each of them', async () => {
  for (const route of routes.filter(({ method, path }) => method === 'get' && path.includes('{id}'))) {
    const path = withIds(route.path, other.ids[String(collectionOf(route.path))], other);
    const { status } = await service.call('get', path, { key: other.floor.key });
    // The print state of a document that is still being printed is 202; everything else is read at once.
    const answers = route.path.endsWith('/print-state') ? [200, 202] : [200];
    expect([route.name, answers.includes(status), status]).toEqual([route.name, true, status]);
  }
});

interface Case {
  route: Route;
  pointer: string;
  body: unknown;
}

/** Every id that a body can carry, with a body that carries it; and those that no body of the lists carries. */
function cases(): { found: Case[]; missing: string[] } {
  const found: Case[] = [];
  const missing: string[] = [];
  for (const route of routes) {
    const base = writeBodies(own)[route.name];
    const others = otherForms(own).filter((form) => form.route === route.name);
    const withPlan = { ...base, planId: own.ids.plans };
    const forms = [base, { ...base, corrects: correctsOf(own) }, withPlan, ...others.map(({ body }) => body)];
    for (const pointer of route.bodyIds) {
      const body = forms.find((form) => valueAt(form, pointer) !== undefined);
      if (body === undefined) {
        missing.push(`${route.name} ${pointer}`);
      } else {
        found.push({ route, pointer, body });
      }
    }
  }
  return { found, missing };
}

test('another producer’s id in a body is refused as one that nobody has, and nothing is stored', async () => {
  const { found } = cases();
  expect(found.length).toBeGreaterThan(60);
  const counts = await service.rowCounts();
  const odd: unknown[] = [];
  for (const { route, pointer, body } of found) {
    const mine = valueAt(body, pointer);
    const kind = Object.keys(own.ids).find((name) => own.ids[name] === mine);
    const foreignId = other.ids[String(kind)];
    const unknown = randomUUID();
    const path = withIds(route.path, own.ids[String(collectionOf(route.path))] ?? '');
    const foreign = await call(route, path, withValueAt(body, pointer, foreignId), own.floor.key);
    const nobodys = await call(route, path, withValueAt(body, pointer, unknown), own.floor.key);
    const [a, b] = [seen(foreign, foreignId), seen(nobodys, unknown)];
    if (foreign.status !== 404 || JSON.stringify(a) !== JSON.stringify(b)) {
      odd.push([route.name, pointer, foreign.status, foreign.body, nobodys.body]);
    }
  }
  expect(odd).toEqual([]);
  expect(await service.rowCounts()).toEqual(counts);
});

test('ids in a filter, and a cursor out of another producer’s list, show nothing of it', async () => {
  for (const route of routes) {
    for (const name of route.queryIds) {
      const collection = { lotId: 'lots', premisesId: 'premises', periodId: 'periods', packagedLotId: 'packaged-lots' }[
        name
      ];
      const id = other.ids[collection ?? 'operations'];
      const unknown = randomUUID();
      const foreign = await service.call('get', `${route.path}?${name}=${id}`, { key: own.floor.key });
      const nobodys = await service.call('get', `${route.path}?${name}=${unknown}`, { key: own.floor.key });
      expect([route.name, name, seen(foreign, id)]).toEqual([route.name, name, seen(nobodys, unknown)]);
    }
  }
  const theirs = (await other.floor.get('/v1/operations?limit=1')) as { next: string };
  const mine = (await own.floor.get('/v1/operations?limit=200')) as { items: { id: string }[] };
  const continued = (await own.floor.get(`/v1/operations?limit=200&cursor=${theirs.next}`)) as {
    items: { id: string }[];
  };
  expect(mine.items.map(({ id }) => id)).toEqual(expect.arrayContaining(continued.items.map(({ id }) => id)));
});

test('no list of one producer shows an id of the other', async () => {
  const secret = Object.values(other.ids);
  for (const route of routes.filter(({ method, access }) => method === 'get' && access !== 'public')) {
    const own_ = route.path.includes('{id}') ? own.ids[String(collectionOf(route.path))] : '';
    const { text } = await service.call('get', withIds(route.path, own_), { key: own.floor.key });
    expect([route.name, secret.filter((id) => text.includes(id))]).toEqual([route.name, []]);
  }
});

describe('keys', () => {
  test('without a key no route says anything, a guesser is slowed, and a valid key from the same address is not', async () => {
    const codes = new Set<string>();
    for (const route of routes.filter(({ access }) => access !== 'public')) {
      const path = withIds(route.path, own.ids[String(collectionOf(route.path))] ?? '');
      const answer = await service.call(route.method, path, { body: route.hasBody ? {} : undefined });
      const { code } = problemOf(answer);
      expect([route.name, code]).toEqual([route.name, expect.stringMatching(/^(unauthenticated|rate-limited)$/)]);
      codes.add(code);
    }
    const made = `${own.floor.key.slice(0, -1)}${own.floor.key.endsWith('A') ? 'B' : 'A'}`;
    for (let tries = 0; tries < 70; tries += 1) {
      const { status, headers } = await service.call('get', '/v1/producer', { key: made });
      expect([401, 429]).toContain(status);
      expect(status === 429).toBe(headers['retry-after'] !== undefined);
      codes.add(String(status));
    }
    expect([...codes]).toEqual(expect.arrayContaining(['unauthenticated', 'rate-limited', '429']));
    expect((await service.call('get', '/v1/producer', { key: own.floor.key })).status).toBe(200);
  });

  test('a key in the address is no key', async () => {
    const { status, text } = await service.call('get', `/v1/premises?key=${own.floor.key}`);
    expect([400, 401, 429]).toContain(status);
    expect(text).not.toContain(own.floor.key);
  });

  test('a key revoked or expired is refused from the next request on, and is nowhere to be read', async () => {
    const key = await own.floor.post('/v1/keys', { name: 'Passing', role: 'brewer' });
    const passing = String(key.key);
    await service.expect(200, 'get', '/v1/producer', { key: passing });
    await service.expect(200, 'post', `/v1/keys/${String(key.id)}/revocation`, { key: own.floor.key });
    expect([401, 429]).toContain((await service.call('get', '/v1/producer', { key: passing })).status);
    const secret = passing.split('.')[2];
    const found = await withConnection(service.database.superuserUrl, async (db) => {
      const { rows } = await db.query<{ text: string }>(
        `SELECT (SELECT string_agg(k::text, '') FROM api_key k) || (SELECT string_agg(body, '') FROM trail_entry)
             || coalesce((SELECT string_agg(response, '') FROM idempotency), '') AS text`,
      );
      return rows[0].text.includes(secret) || rows[0].text.includes(Buffer.from(secret, 'base64url').toString('hex'));
    });
    expect(found).toBe(false);
  });
});

describe('rights', () => {
  test('a key that reads cannot write anything', async () => {
    const writing = routes.filter(({ writes }) => writes);
    expect(writing.length).toBeGreaterThan(20);
    const counts = await service.rowCounts();
    for (const route of writing.filter(({ access }) => access !== 'operator')) {
      const path = withIds(route.path, own.ids[String(collectionOf(route.path))] ?? '');
      const answer = await call(route, path, bodyOf(route, own), auditorKey);
      expect([route.name, answer.status, problemOf(answer).code]).toEqual([route.name, 403, 'forbidden']);
    }
    expect(await service.rowCounts()).toEqual(counts);
  });

  test('an owner’s key is not the operator’s, and the operator’s is nobody’s key', async () => {
    for (const route of routes.filter(({ access }) => access === 'operator')) {
      const answer = await service.call(route.method, route.path, { key: own.floor.key, body: { name: 'x' } });
      expect([route.name, answer.status]).toEqual([route.name, 403]);
    }
    const answer = await service.call('get', '/v1/producer', { key: OPERATOR_KEY });
    expect([401, 429]).toContain(answer.status);
  });

  test('what a caller says of itself in headers is not believed', async () => {
    const headers = {
      'x-tenant-id': other.floor.producerId,
      'x-producer-id': other.floor.producerId,
      'x-user-id': other.ids.keys,
      'x-forwarded-for': '10.0.0.1',
      'x-http-method-override': 'DELETE',
    };
    const answer = await service.call('get', '/v1/producer', { key: own.floor.key, headers });
    expect(answer.body.id).toBe(own.floor.producerId);
  });

  test('properties that are not a caller’s to set are refused by name', async () => {
    for (const name of ['producerId', 'tenantId', 'id', 'createdAt', 'version', 'balance', 'sequence', 'closedAt']) {
      const body = { ...writeBodies(own)['POST /v1/vessels'], [name]: other.floor.producerId };
      const answer = await service.call('post', '/v1/vessels', { key: own.floor.key, body });
      const problem = problemOf(answer);
      expect([name, problem.code, problem.errors?.[0].pointer]).toEqual([name, 'validation-failed', `/${name}`]);
    }
  });

  test('the same Idempotency-Key is another one for another producer and for another key', async () => {
    const headers = { 'idempotency-key': 'shared' };
    const body = { name: 'B. Brewer' };
    const third = await service.newProducer();
    const brewer = await service.expect(201, 'post', '/v1/keys', {
      key: third.key,
      body: { name: 'b', role: 'brewer' },
    });
    const ids = new Set<string>();
    for (const key of [own.floor.key, third.key, String(brewer.body.key)]) {
      const answer = await service.expect(201, 'post', '/v1/people', { key, body, headers });
      expect(answer.headers['idempotency-replayed']).toBeUndefined();
      ids.add(String(answer.body.id));
    }
    expect(ids.size).toBe(3);
  });
});
