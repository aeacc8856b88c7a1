import { withConnection } from '../../src/platform/database/connection.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

const NAME = 'Ada "Quoted" Nobodyson';
let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start();
  floor = await Floor.open(service, []);
});
afterAll(() => service.stop());

const check = async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
};

/** Every row of every table as text, as the superuser sees it. */
const everything = (): Promise<string> =>
  withConnection(service.database.superuserUrl, async (connection) => {
    const tables = await connection.query<{ name: string }>(
      `SELECT relname AS name FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace`,
    );
    const texts: string[] = [];
    for (const { name } of tables.rows) {
      const { rows } = await connection.query<{ row: string }>(`SELECT t::text AS row FROM "${name}" t`);
      texts.push(...rows.map(({ row }) => row));
    }
    return texts.join('\n');
  });

test('a name is forgotten everywhere, and the trail still holds', async () => {
  const headers = { 'idempotency-key': 'ada' };
  const person = await floor.post('/v1/people', { name: NAME }, 201, headers);
  const other = await floor.post('/v1/people', { name: 'B. Other' });
  const id = String(person.id);
  const lotId = await floor.lot();
  const readingId = await floor.gravity(lotId, 1.05, '2026-03-02T09:00:00Z', { personId: id });
  expect(await everything()).toContain('Nobodyson');

  const forgotten = await floor.post(`/v1/people/${id}/forgetting`, {});
  expect(forgotten.id).toBe(id);
  const seen = await floor.get(`/v1/people/${id}`);
  expect(seen.name).toBeUndefined();
  expect(typeof seen.forgottenAt).toBe('string');
  const { items } = (await floor.get('/v1/people')) as { items: { id: string; name?: string }[] };
  expect(items.map(({ name }) => name)).toEqual([undefined, 'B. Other']);
  expect((await floor.get(`/v1/readings/${readingId}`)).personId).toBe(id);
  const after = (await everything()).replaceAll('\\', '');
  expect(after).not.toContain('Nobodyson');
  expect(after).toContain('B. Other');
  await check();

  // The kept answer lost the name and the hash of the request that brought it: a guess at the name is another body, right or wrong.
  const again = await floor.post('/v1/people', { name: NAME }, 422, headers);
  expect(again.code).toBe('idempotency-key-reused');
  expect((await floor.get(`/v1/people/${String(other.id)}`)).forgottenAt).toBeUndefined();
});

test('the salt goes with the name, the hash stays', async () => {
  const person = await floor.post('/v1/people', { name: 'C. Third' });
  const before = await textOf('C. Third');
  await floor.post(`/v1/people/${String(person.id)}/forgetting`, {});
  const after = await withConnection(service.database.superuserUrl, (connection) =>
    connection.query<{ text: string | null; salt: Buffer; hash: Buffer }>(
      `SELECT text, salt, hash FROM personal_text WHERE hash = $1`,
      [before.hash],
    ),
  );
  expect(before.salt.length).toBe(16);
  expect(after.rows).toHaveLength(1);
  expect(after.rows[0].text).toBeNull();
  expect(after.rows[0].salt.length).toBe(0);
  await check();
});

test('what cannot be forgotten is refused, and nothing is stored', async () => {
  const person = await floor.post('/v1/people', { name: 'D. Fourth' });
  await floor.post(`/v1/people/${String(person.id)}/forgetting`, {});
  const brewer = await floor.post('/v1/keys', { name: 'Brewer', role: 'brewer' });
  const stranger = await service.newProducer('Another');
  const theirs = await service.expect(201, 'post', '/v1/people', { key: stranger.key, body: { name: 'E. Fifth' } });
  const rows = await service.rowCounts();
  expect((await floor.post(`/v1/people/${String(person.id)}/forgetting`, {}, 409)).code).toBe('conflict');
  const id = String((theirs.body as { id: string }).id);
  expect((await floor.post(`/v1/people/${id}/forgetting`, {}, 404)).code).toBe('not-found');
  await service.expect(403, 'post', `/v1/people/${id}/forgetting`, { key: String(brewer.key), body: {} });
  expect(await service.rowCounts()).toEqual(rows);
});

const textOf = async (text: string): Promise<{ salt: Buffer; hash: Buffer }> => {
  const { rows } = await withConnection(service.database.superuserUrl, (connection) =>
    connection.query<{ salt: Buffer; hash: Buffer }>(`SELECT salt, hash FROM personal_text WHERE text = $1`, [text]),
  );
  return rows[0];
};
