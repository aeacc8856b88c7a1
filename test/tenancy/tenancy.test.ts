import { encodeCursor } from '../../src/platform/pagination.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start();
});
afterAll(() => service.stop());

const mill = { name: 'Mill Lane', timeZone: 'Europe/London' };

test('a producer is taken in, adds premises, and the trail holds', async () => {
  const { key } = await service.newProducer();
  const made = await service.expect(201, 'post', '/v1/premises', { key, body: mill });
  expect(made.headers.etag).toBe('"v1"');
  const list = await service.expect(200, 'get', '/v1/premises', { key });
  expect(list.body.items).toEqual([made.body]);
  const check = await service.expect(200, 'get', '/v1/audit-trail/check', { key });
  expect(check.body).toMatchObject({ holds: true, entries: 2, faults: [] });
});

test('the same key, route and body replay the first answer; another body is refused', async () => {
  const { key } = await service.newProducer();
  const headers = { 'idempotency-key': 'abc' };
  const first = await service.expect(201, 'post', '/v1/premises', { key, body: mill, headers });
  const again = await service.expect(201, 'post', '/v1/premises', { key, body: mill, headers });
  expect(again.body).toEqual(first.body);
  expect(again.headers['idempotency-replayed']).toBe('true');
  const other = await service.expect(422, 'post', '/v1/premises', { key, body: { ...mill, name: 'Other' }, headers });
  expect(other.body.code).toBe('idempotency-key-reused');
  const list = await service.expect(200, 'get', '/v1/premises', { key });
  expect(list.body.items).toHaveLength(1);
});

test('a change needs the tag that was read', async () => {
  const { key } = await service.newProducer();
  const made = await service.expect(201, 'post', '/v1/premises', { key, body: mill });
  const path = `/v1/premises/${made.body.id as string}`;
  const body = { name: 'Mill Lane 2' };
  expect((await service.expect(428, 'patch', path, { key, body })).body.code).toBe('precondition-required');
  const changed = await service.expect(200, 'patch', path, { key, body, headers: { 'if-match': '"v1"' } });
  expect(changed.headers.etag).toBe('"v2"');
  await service.expect(412, 'patch', path, { key, body, headers: { 'if-match': '"v1"' } });
  await service.expect(412, 'patch', path, { key, body, headers: { 'if-match': 'W/"v2"' } });
});

test('two changes at once with the same tag: one goes through', async () => {
  const { key } = await service.newProducer();
  const made = await service.expect(201, 'post', '/v1/premises', { key, body: mill });
  const path = `/v1/premises/${made.body.id as string}`;
  const answers = await Promise.all(
    [1, 2, 3, 4].map((n) =>
      service.call('patch', path, { key, body: { name: `n${n}` }, headers: { 'if-match': '"v1"' } }),
    ),
  );
  expect(answers.map((answer) => answer.status).sort()).toEqual([200, 412, 412, 412]);
});

test('a name of a person stands outside the trail', async () => {
  const { key } = await service.newProducer();
  const made = await service.expect(201, 'post', '/v1/people', { key, body: { name: 'Ada Invented' } });
  expect(made.body.name).toBe('Ada Invented');
  const trail = await service.expect(200, 'get', '/v1/audit-trail', { key });
  expect(JSON.stringify(trail.body)).not.toContain('Ada');
  expect((await service.expect(200, 'get', '/v1/audit-trail/check', { key })).body.holds).toBe(true);
});

test('keys: issued once, held to role and scopes, revoked', async () => {
  const { key } = await service.newProducer();
  const auditor = await service.expect(201, 'post', '/v1/keys', { key, body: { name: 'Audit', role: 'auditor' } });
  const auditorKey = auditor.body.key as string;
  await service.expect(200, 'get', '/v1/premises', { key: auditorKey });
  expect((await service.expect(403, 'post', '/v1/premises', { key: auditorKey, body: mill })).body.code).toBe(
    'forbidden',
  );
  await service.expect(200, 'post', `/v1/keys/${auditor.body.id as string}/revocation`, { key });
  expect((await service.expect(401, 'get', '/v1/premises', { key: auditorKey })).body.code).toBe('key-revoked');
  await service.expect(401, 'get', '/v1/premises');
  await service.expect(401, 'get', '/v1/premises', { key: `${key.slice(0, -1)}${key.endsWith('A') ? 'B' : 'A'}` });
  const listed = await service.expect(200, 'get', '/v1/keys', { key });
  expect(JSON.stringify(listed.body)).not.toContain(auditorKey);
});

test('another producer sees nothing of it', async () => {
  const a = await service.newProducer('A');
  const b = await service.newProducer('B');
  const made = await service.expect(201, 'post', '/v1/premises', { key: a.key, body: mill });
  const foreign = await service.expect(404, 'get', `/v1/premises/${made.body.id as string}`, { key: b.key });
  const unknown = await service.expect(404, 'get', '/v1/premises/018f0000-0000-7000-8000-000000000000', { key: b.key });
  expect({ ...foreign.body, instance: '' }).toEqual({ ...unknown.body, instance: '' });
  await service.expect(201, 'post', '/v1/premises', { key: b.key, body: mill });
});

test('a cursor that was made up is refused', async () => {
  const { key } = await service.newProducer();
  for (const [path, list] of [
    ['premises', 'premises'],
    ['people', 'person'],
    ['packaged-lots', 'packaged-lot'],
    ['material-lots', 'material-lot'],
    ['periods', 'periods'],
  ]) {
    const cursor = encodeCursor(list, ['x']);
    const refused = await service.expect(400, 'get', `/v1/${path}?cursor=${cursor}`, { key });
    expect(refused.body.code).toBe('cursor-malformed');
  }
});
