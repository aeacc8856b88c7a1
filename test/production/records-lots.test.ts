import { SteppableClock } from '../../src/platform/clock.js';
import { nextCode } from '../../src/production/lots/lot-code.js';
import { TestService } from '../support/service.js';
import { sameRefusal, UNKNOWN_ID, World } from './records-world.js';

let service: TestService;
let world: World;
const start = new Date('2026-03-01T12:30:00Z');
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(start) });
  world = await World.of(service, 'Pacific/Auckland');
});
afterAll(() => service.stop());

const plan = { kind: 'spirit-based', volume: { value: 100, unit: 'L' }, strength: { value: 5, unit: '%' } };

test('codes count within the day and pass over what was chosen by hand', () => {
  expect(nextCode('2026-03-02', [])).toBe('20260302-1');
  expect(nextCode('2026-03-02', ['20260302-9', '20260302-10', '20260302-old', '20260301-99'])).toBe('20260302-11');
});

test('a lot takes the code of its day at the premises and the category of its recipe', async () => {
  const recipe = await world.post<{ latest: { id: string } }>('/v1/recipes', { name: 'A', category: 'mixed', plan });
  const { premisesId } = world;
  const made = await world.post('/v1/lots', { premisesId, recipeVersion: { recipeId: recipe.id, number: 1 } });
  // 12:30 in London is half past one in the night of the next day in Auckland.
  expect(made).toMatchObject({ code: '20260302-1', category: 'mixed', version: 1 });
  expect(made.recipeVersion).toEqual({ id: recipe.latest.id, recipeId: recipe.id, number: 1 });
  expect(await world.get(`/v1/lots/${made.id}`)).toEqual({ ...made, contents: { state: 'empty', liquids: [] } });
  const byId = await world.post('/v1/lots', { premisesId, recipeVersionId: recipe.latest.id, category: 'own' });
  expect(byId).toMatchObject({ code: '20260302-2', category: 'own', recipeVersion: made.recipeVersion });
});

test('twenty lots begun at once get twenty codes', async () => {
  const own = await World.of(service);
  const lots = await Promise.all(Array.from({ length: 20 }, () => own.lot()));
  expect(new Set(lots.map(({ code }) => code)).size).toBe(20);
  await own.trailHolds();
});

test('the same request twenty times at once begins one lot', async () => {
  const own = await World.of(service);
  const body = { premisesId: own.premisesId, category: 'x' };
  const answers = await Promise.all(
    Array.from({ length: 20 }, () =>
      service.expect(201, 'post', '/v1/lots', { key: own.key, body, headers: { 'idempotency-key': 'once' } }),
    ),
  );
  expect(new Set(answers.map(({ text }) => text)).size).toBe(1);
  expect((await own.get<{ items: unknown[] }>('/v1/lots')).items).toHaveLength(1);
});

test('a code is unique for its producer, and only for that one', async () => {
  const other = await World.of(service);
  await world.lot({ code: 'LOT-001' });
  await other.lot({ code: 'LOT-001' });
  const problem = await world.refused('already-exists', 'post', '/v1/lots', {
    premisesId: world.premisesId,
    category: 'x',
    code: 'LOT-001',
  });
  expect(problem.errors).toMatchObject([{ pointer: '/code' }]);
});

test('lists by premises, page by page; a cursor is good for its own list', async () => {
  const own = await World.of(service);
  const elsewhere = await own.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
  const made = [];
  for (let index = 0; index < 5; index += 1) {
    made.push((await own.lot()).id);
    await own.lot({ premisesId: elsewhere.id });
  }
  const path = `/v1/lots?limit=3&premisesId=${own.premisesId}`;
  const first = await own.get<{ items: { id: string }[]; next: string }>(path);
  const second = await own.get<{ items: { id: string }[]; next: null }>(`${path}&cursor=${first.next}`);
  expect([...first.items, ...second.items].map(({ id }) => id)).toEqual(made);
  expect(second.next).toBeNull();
  await own.refused('cursor-malformed', 'get', `/v1/vessels?cursor=${first.next}`);
});

test('is retired and brought back with the tag that was read', async () => {
  const { id } = await world.lot();
  expect((await service.call('patch', `/v1/lots/${id}`, { key: world.key, body: { retired: true } })).status).toBe(428);
  const retired = await world.patch(`/v1/lots/${id}`, { retired: true }, '"v1"');
  expect(retired.body).toMatchObject({ id, version: 2, retiredAt: start.toISOString() });
  expect((await world.patch(`/v1/lots/${id}`, { retired: false }, '"v1"')).status).toBe(412);
  expect((await world.patch(`/v1/lots/${id}`, { retired: false }, '"v2"')).body.retiredAt).toBeUndefined();
});

test.each([
  ['validation-failed', {}],
  ['validation-failed', { category: 'x', code: 5 }],
  ['validation-failed', { category: 'x', code: '' }],
  ['validation-failed', { category: 'x', state: 'finished' }],
  [
    'validation-failed',
    { category: 'x', recipeVersion: { recipeId: UNKNOWN_ID, number: 1 }, recipeVersionId: UNKNOWN_ID },
  ],
  ['validation-failed', { category: 'x', recipeVersion: { recipeId: UNKNOWN_ID } }],
  ['out-of-range', { category: 'x', recipeVersion: { recipeId: UNKNOWN_ID, number: 0 } }],
  ['not-found', { category: 'x', recipeVersion: { recipeId: UNKNOWN_ID, number: 1 } }],
  ['not-found', { category: 'x', recipeVersionId: UNKNOWN_ID }],
  ['not-found', { category: 'x', premisesId: UNKNOWN_ID }],
])('is refused: %s, %j', async (code, change) => {
  await world.refused(code, 'post', '/v1/lots', { premisesId: world.premisesId, ...change });
});

test("another producer's lot, premises and recipe are unknown", async () => {
  const other = await World.of(service);
  const theirs = await other.lot();
  const recipe = await other.post<{ latest: { id: string } }>('/v1/recipes', { name: 'A', category: 'mixed', plan });
  const headers = { 'if-match': '"v1"' };
  for (const [method, body] of [['get'], ['patch', { retired: true }]] as const) {
    sameRefusal(
      await world.refused('not-found', method, `/v1/lots/${theirs.id}`, body, headers),
      await world.refused('not-found', method, `/v1/lots/${UNKNOWN_ID}`, body, headers),
    );
  }
  const begin = (change: object) =>
    world.refused('not-found', 'post', '/v1/lots', { premisesId: world.premisesId, category: 'x', ...change });
  sameRefusal(await begin({ premisesId: other.premisesId }), await begin({ premisesId: UNKNOWN_ID }));
  sameRefusal(await begin({ recipeVersionId: recipe.latest.id }), await begin({ recipeVersionId: UNKNOWN_ID }));
  sameRefusal(
    await begin({ recipeVersion: { recipeId: recipe.id, number: 1 } }),
    await begin({ recipeVersion: { recipeId: UNKNOWN_ID, number: 1 } }),
  );
});

test('nothing new is begun with a retired recipe', async () => {
  const recipe = await world.post('/v1/recipes', { name: 'Old', category: 'mixed', plan });
  await world.patch(`/v1/recipes/${recipe.id}`, { retired: true }, '"v1"');
  const recipeVersion = { recipeId: recipe.id, number: 1 };
  await world.refused('conflict', 'post', '/v1/lots', { premisesId: world.premisesId, recipeVersion });
  await world.refused('conflict', 'post', `/v1/recipes/${recipe.id}/versions`, { plan });
});

test('the trail holds after all of it', () => world.trailHolds());
