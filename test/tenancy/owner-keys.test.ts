import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { OPERATOR_KEY, TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start();
});
afterAll(() => service.stop());

const issue = (producerId: string, body: object = {}, key = OPERATOR_KEY) =>
  service.call('post', `/v1/producers/${producerId}/owner-keys`, { key, body });

test('the operator issues an owner key for a producer that lost its own; it is on the trail', async () => {
  const floor = await Floor.open(service, []);
  const issued = await issue(floor.producerId);
  expect([issued.status, issued.body.role, issued.headers['cache-control']]).toEqual([201, 'owner', 'no-store']);
  const key = String(issued.body.key);
  const { body: producer } = await service.expect(200, 'get', '/v1/producer', { key });
  expect(producer.id).toBe(floor.producerId);
  const { body: trail } = await service.expect(200, 'get', '/v1/audit-trail?limit=200', { key });
  const last = (trail.items as { body: string }[])
    .map(({ body }) => JSON.parse(body) as Record<string, unknown>)
    .at(-1);
  expect(last).toMatchObject({ action: 'keys.issue-by-operator', facts: { id: issued.body.id, issuedBy: 'operator' } });
  expect(JSON.stringify(trail)).not.toContain(key);
  const { body: check } = await service.expect(200, 'get', '/v1/audit-trail/check', { key });
  expect(check).toMatchObject({ holds: true });
  // The lost one still works: the new owner decides.
  await service.expect(200, 'get', '/v1/producer', { key: floor.key });
});

test('with revokeOthers every other owner key is refused from then on, and no other key', async () => {
  const floor = await Floor.open(service, []);
  const { key: brewer } = await floor.post('/v1/keys', { name: 'Tablet', role: 'brewer' });
  const issued = await issue(floor.producerId, { name: 'After the theft', revokeOthers: true });
  const lost = await service.call('get', '/v1/producer', { key: floor.key });
  expect([lost.status, problemOf(lost).code]).toEqual([401, 'key-revoked']);
  await service.expect(200, 'get', '/v1/producer', { key: String(brewer) });
  const { body } = await service.expect(200, 'get', '/v1/keys', { key: String(issued.body.key) });
  expect(
    (body.items as { name: string; revokedAt?: string }[]).map(({ name, revokedAt }) => [
      name,
      revokedAt !== undefined,
    ]),
  ).toEqual([
    ['First key', true],
    ['Tablet', false],
    ['After the theft', false],
  ]);
});

test('nobody else, for nobody else', async () => {
  const floor = await Floor.open(service, []);
  const before = await service.rowCounts();
  expect((await issue(floor.producerId, {}, floor.key)).status).toBe(403);
  expect((await issue('018f0000-0000-7000-8000-000000000000')).status).toBe(404);
  expect((await issue('nobody')).status).toBe(400);
  expect((await issue(floor.producerId, { role: 'brewer' })).status).toBe(400);
  expect(await service.rowCounts()).toEqual(before);
});
