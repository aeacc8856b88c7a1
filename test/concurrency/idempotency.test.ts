import { SteppableClock } from '../../src/platform/clock.js';
import { withConnection } from '../../src/platform/database/connection.js';
import { expectBooksHold } from '../support/books-hold.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { problemOf } from '../support/problem.js';
import { collectionOf, routesOf } from '../support/routes.js';
import { TestService } from '../support/service.js';
import { writeBodies } from '../support/write-bodies.js';

let service: TestService;
let own: FullProducer;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2), poolSize: 8, processes: 2 });
  own = await fullProducer(service);
});
afterAll(() => service.stop());

const entries = (): Promise<{ trail: number; operations: number; kept: number }> =>
  withConnection(service.database.superuserUrl, async (db) => {
    const { rows } = await db.query<{ trail: number; operations: number; kept: number }>(
      `SELECT (SELECT count(*)::int FROM trail_entry) AS trail, (SELECT count(*)::int FROM operation) AS operations,
              (SELECT count(*)::int FROM idempotency) AS kept`,
    );
    return rows[0];
  });

const AT_ONCE = 50;

test.each([
  ['POST /v1/people', 0],
  ['POST /v1/vessels', 0],
  ['POST /v1/recipes', 0],
  ['POST /v1/lots/{id}/readings', 0],
  ['POST /v1/material-lots', 1],
  ['POST /v1/lots/{id}/transfers', 1],
  ['POST /v1/lots/{id}/packagings', 1],
  ['POST /v1/movements', 1],
  ['POST /v1/lots/{id}/gauges', 1],
])('%s: the same key fifty times at once is one write and forty-nine replays', async (name, operations) => {
  const [, route] = name.split(' ');
  const path = route.replace('{id}', own.ids[String(collectionOf(route))] ?? '');
  const body = writeBodies(own)[name];
  const before = await entries();
  const headers = { 'idempotency-key': `fifty ${name}`.replaceAll(' ', '-') };
  const answers = await Promise.all(
    Array.from({ length: AT_ONCE }, () => service.call('post', path, { key: own.floor.key, body, headers })),
  );
  expect(new Set(answers.map(({ status, text }) => `${status} ${text}`)).size).toBe(1);
  expect(answers[0].status).toBe(201);
  const replayed = answers.filter((answer) => answer.headers['idempotency-replayed'] === 'true');
  expect(replayed.length).toBe(AT_ONCE - 1);
  expect(await entries()).toEqual({
    trail: before.trail + 1,
    operations: before.operations + operations,
    kept: before.kept + 1,
  });

  const again = await service.call('post', path, { key: own.floor.key, body, headers });
  expect([again.status, again.text]).toEqual([answers[0].status, answers[0].text]);
  const other = await service.call('post', path, { key: own.floor.key, body: { ...body, note: 'other' }, headers });
  expect(problemOf(other).code).toBe('idempotency-key-reused');
  expect((await entries()).trail).toBe(before.trail + 1);
});

test('a key that is issued fifty times at once is one key, shown once', async () => {
  const body = { name: 'Once', role: 'brewer' };
  const headers = { 'idempotency-key': 'issue' };
  const answers = await Promise.all(
    Array.from({ length: AT_ONCE }, () => service.call('post', '/v1/keys', { key: own.floor.key, body, headers })),
  );
  expect(new Set(answers.map((answer) => String(answer.body.id))).size).toBe(1);
  expect(answers.filter((answer) => answer.body.key !== undefined).length).toBe(1);
});

test('two bodies under one key at once: one of them is carried out, the other refused', async () => {
  const headers = { 'idempotency-key': 'either' };
  const answers = await Promise.all(
    Array.from({ length: 20 }, (_, n) =>
      service.call('post', '/v1/people', { key: own.floor.key, body: { name: `Person ${n % 2}` }, headers }),
    ),
  );
  const done = answers.filter(({ status }) => status === 201);
  expect(new Set(done.map(({ text }) => text)).size).toBe(1);
  for (const answer of answers.filter(({ status }) => status !== 201)) {
    expect(problemOf(answer).code).toBe('idempotency-key-reused');
  }
});

test('a refusal is not kept: the same key may carry the right request afterwards', async () => {
  const headers = { 'idempotency-key': 'second-try' };
  const path = `/v1/lots/${own.ids.lots}/transfers`;
  const body = writeBodies(own)['POST /v1/lots/{id}/transfers'];
  const before = await entries();
  for (const wrong of [
    { ...body, volume: { value: 100_000, unit: 'L' } },
    { ...body, volume: { value: -1, unit: 'L' } },
    { ...body, occurredAt: '2026-01-01T00:00:00Z' },
  ]) {
    const refused = await service.call('post', path, { key: own.floor.key, body: wrong, headers });
    expect(refused.status).toBeGreaterThanOrEqual(400);
  }
  expect(await entries()).toEqual(before);
  const right = await service.call('post', path, { key: own.floor.key, body, headers });
  expect([right.status, right.headers['idempotency-replayed']]).toEqual([201, undefined]);
});

test.each([
  ['empty', ''],
  ['too long', 'x'.repeat(256)],
  ['not ASCII', 'sch\u00f6n'],
  ['with a space', 'a b'],
])('an Idempotency-Key that is %s is refused', async (_, key) => {
  const answer = await service.call('post', '/v1/people', {
    key: own.floor.key,
    body: { name: 'x' },
    headers: { 'idempotency-key': key },
  });
  expect(problemOf(answer).code).toBe('idempotency-key-malformed');
});

test('every POST that writes takes the key, and the books hold after all of it', async () => {
  const document = (await service.expect(200, 'get', '/openapi.json')).body as {
    paths: Record<string, Record<string, { parameters?: { name: string }[] }>>;
  };
  for (const route of await routesOf(service)) {
    if (route.method === 'post' && route.writes && route.access !== 'operator') {
      const names = (document.paths[route.path].post.parameters ?? []).map(({ name }) => name.toLowerCase());
      expect([route.name, names.includes('idempotency-key')]).toEqual([route.name, true]);
    }
  }
  await expectBooksHold(service, own.floor.producerId, own.floor.key);
});
