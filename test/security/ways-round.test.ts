import { randomUUID } from 'node:crypto';
import { SteppableClock } from '../../src/platform/clock.js';
import { AppSession, DENIED } from '../support/app-session.js';
import type { Floor } from '../support/floor.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
let app: AppSession;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  floor = (await fullProducer(service)).floor;
  app = await AppSession.open(service.database.appUrl);
});
afterAll(async () => {
  await app.close();
  await service.stop();
});

test.each([
  ['SET ROLE gaugebook_books', DENIED],
  ['SET ROLE gaugebook_test_owner', DENIED],
  ['SET SESSION AUTHORIZATION gaugebook_test_owner', DENIED],
  ['TRUNCATE posting', DENIED],
  ['TRUNCATE vessel CASCADE', DENIED],
  ['DELETE FROM vessel', DENIED],
  ['LOCK TABLE producer_head IN ACCESS EXCLUSIVE MODE', DENIED],
  [`COPY posting TO PROGRAM 'cat'`, DENIED],
  [`COPY posting TO '/tmp/x'`, DENIED],
  [`COPY lot FROM '/etc/passwd'`, DENIED],
  [`SELECT pg_read_file('/etc/passwd')`, DENIED],
  [`SELECT lo_import('/etc/passwd')`, DENIED],
  [`SELECT pg_ls_dir('.')`, DENIED],
  ['ALTER TABLE posting DISABLE ROW LEVEL SECURITY', DENIED],
  ['ALTER TABLE posting DISABLE TRIGGER refuse_update', DENIED],
  ['DROP POLICY own_producer ON posting', DENIED],
  ['CREATE POLICY mine ON posting USING (true)', DENIED],
  ['CREATE TABLE public.mine (x int)', DENIED],
  ['CREATE VIEW public.mine AS SELECT 1', DENIED],
  [`CREATE FUNCTION public.mine() RETURNS int LANGUAGE sql AS 'SELECT 1'`, DENIED],
  ['ALTER FUNCTION post(uuid, text, timestamptz, jsonb, jsonb) RESET ALL', DENIED],
  ['GRANT gaugebook_books TO gaugebook_app', DENIED],
  [`ALTER ROLE gaugebook_test_service BYPASSRLS`, DENIED],
  [`SET session_replication_role = replica`, DENIED],
  ['CREATE EXTENSION dblink', DENIED],
  ['SELECT rolpassword FROM pg_authid', DENIED],
])('%s is refused', async (sql, code) => {
  await app.as(floor.producerId, async () => expect(await app.refusal(sql)).toBe(code));
});

test('the superuser’s role is out of reach', async () => {
  const superuser = decodeURIComponent(new URL(service.database.superuserUrl).username);
  await app.as(floor.producerId, async () => expect(await app.refusal(`SET ROLE "${superuser}"`)).toBe(DENIED));
});

test('with row security off a query is refused instead of cut down', async () => {
  await app.as(floor.producerId, async () => {
    await app.client.query('SET LOCAL row_security = off');
    expect(await app.refusal('SELECT * FROM posting')).toBe(DENIED);
    expect(await app.refusal('SELECT * FROM api_key')).toBe(DENIED);
  });
});

test('a table of one’s own in the temporary schema stands in for none of the books’', async () => {
  await app.as(floor.producerId, async () => {
    await app.client.query(`CREATE TEMP TABLE producer_head AS SELECT * FROM public.producer_head`);
    await app.client.query(`UPDATE pg_temp.producer_head SET trail_sequence = 0`);
    const post = `SELECT post($1, '{"version":1}', now(), '{"principal":"${randomUUID()}"}', '{}')`;
    const { rows } = await app.client.query<{ post: { trail: number } }>(post, [floor.producerId]);
    expect(rows[0].post.trail).toBeGreaterThan(1);
  });
});
