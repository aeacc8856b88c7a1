import { SteppableClock } from '../../src/platform/clock.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
let full: FullProducer;
/** The packed goods that came in from another producer on 18 March; the others were filled here on 15 March. */
let received: unknown;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  full = await fullProducer(service);
  [received] = await ids('/v1/packaged-lots?lotMark=R-1');
});
afterAll(() => service.stop());

const OTHER = '018f0000-0000-7000-8000-000000000000';
type Item = Readonly<Record<string, unknown>>;
const found = async (path: string): Promise<Item[]> => (await full.floor.get(path)).items as Item[];
const ids = async (path: string) => (await found(path)).map(({ id }) => id);

/** Each filter finds the one that the floor made by that name, and nothing by another. */
test.each([
  ['/v1/lots', 'code', 'lot-001', 'lots'],
  ['/v1/lots', 'vesselId', 'vessels', 'lots'],
  ['/v1/vessels', 'name', 'bt1', 'vessels'],
  ['/v1/vessels', 'kind', 'bright-tank', 'vessels'],
  ['/v1/instruments', 'name', 'h1', 'instruments'],
  ['/v1/instruments', 'kind', 'hydrometer', 'instruments'],
  ['/v1/recipes', 'name', 'house ferment', 'recipes'],
  ['/v1/recipes', 'category', 'sugar-ferment', 'recipes'],
  ['/v1/materials', 'name', 'neutral SPIRIT', 'materials'],
  ['/v1/materials', 'kind', 'spirit', 'materials'],
  ['/v1/material-lots', 'code', 'ns-1', 'material-lots'],
  ['/v1/material-lots', 'materialId', 'materials', 'material-lots'],
  ['/v1/material-lots', 'premisesId', 'premises', 'material-lots'],
  ['/v1/packaged-lots', 'lotMark', 'Lot-001', 'packaged-lots'],
  ['/v1/packaged-lots', 'lotId', 'lots', 'packaged-lots'],
  ['/v1/packaged-lots', 'category', 'sugar-ferment', 'packaged-lots'],
  ['/v1/packaged-lots', 'container', 'bottle', 'packaged-lots'],
  ['/v1/packaged-lots', 'state', 'in-stock', 'packaged-lots'],
  ['/v1/packaged-lots', 'premisesId', 'premises', 'packaged-lots'],
  ['/v1/movements', 'lotId', 'lots', 'movements'],
  ['/v1/movements', 'category', 'sugar-ferment', 'movements'],
  ['/v1/movements', 'packagedLotId', 'packaged-lots', 'movements'],
  ['/v1/transits', 'packagedLotId', 'packaged-lots', 'transits'],
  ['/v1/transits', 'lotId', 'lots', 'transits'],
  ['/v1/transits', 'premisesId', 'other-premises', 'transits'],
  ['/v1/stock-takes', 'premisesId', 'premises', 'stock-takes'],
])('GET %s?%s=%s finds what it names', async (path, filter, value, kind) => {
  const named = filter === 'name' || filter === 'kind' || !(value in full.ids) ? value : full.ids[value];
  const isReceivedToo = path === '/v1/packaged-lots' && ['container', 'state', 'premisesId'].includes(filter);
  expect(await ids(`${path}?${filter}=${encodeURIComponent(named)}`)).toEqual([
    full.ids[kind],
    ...(isReceivedToo ? [received] : []),
  ]);
  const others: Readonly<Record<string, string>> = { container: 'can', state: 'out' };
  const kinds: Readonly<Record<string, string>> = { '/v1/materials': 'gas', '/v1/instruments': 'thermometer' };
  const other = filter === 'kind' ? (kinds[path] ?? 'drum') : others[filter];
  const wrong = other ?? (filter.endsWith('Id') ? OTHER : 'nothing of that name');
  expect(await ids(`${path}?${filter}=${encodeURIComponent(wrong)}`)).toEqual([]);
});

/** Days as the floor dates its entries; London kept GMT until 29 March 2026, so that these are days of UTC too. */
test.each([
  ['/v1/packaged-lots', '2026-03-15'],
  ['/v1/movements', '2026-03-17'],
  ['/v1/stock-takes', '2026-03-18'],
  ['/v1/transits', '2026-03-18'],
  ['/v1/material-lots', '2026-03-01'],
  ['/v1/lots', '2026-04-02'],
])('GET %s takes the days from and before: first day in, last day out', async (path, day) => {
  const next = new Date(Date.parse(day) + 86_400_000).toISOString().slice(0, 10);
  const later = path === '/v1/packaged-lots' ? [received] : [];
  const all = (await ids(path)).filter((id) => !later.includes(id));
  expect(all.length).toBeGreaterThan(0);
  expect(await ids(`${path}?from=${day}&before=${next}`)).toEqual(all);
  expect(await ids(`${path}?before=${day}`)).toEqual([]);
  expect(await ids(`${path}?from=${next}`)).toEqual(later);
});

test('lots, vessels and periods are found by their state', async () => {
  const { ids: made } = full;
  const [all, states] = [await ids('/v1/lots'), ['in-process', 'finished', 'packed', 'empty']];
  const byState = Object.fromEntries(
    await Promise.all(states.map(async (state) => [state, await ids(`/v1/lots?state=${state}`)] as const)),
  );
  expect(Object.values(byState).flat().sort()).toEqual([...all].sort());
  expect(byState.finished).toContain(made.lots);
  expect(byState.empty).toContain(made['empty-lots']);
  const holding = await ids('/v1/vessels?state=holding');
  const empty = await ids('/v1/vessels?state=empty');
  expect(holding).toContain(made.vessels);
  expect(empty).toContain(made['empty-vessels']);
  expect([...holding, ...empty].sort()).toEqual([...(await ids('/v1/vessels'))].sort());
  const first = await full.floor.get('/v1/vessels?state=holding&limit=1');
  const next = await ids(`/v1/vessels?state=holding&limit=50&cursor=${String(first.next)}`);
  expect([...(first.items as Item[]).map(({ id }) => id), ...next]).toEqual(holding);
  expect(await ids('/v1/periods?state=open')).toEqual(await ids('/v1/periods'));
  expect(await ids('/v1/periods?state=closed')).toEqual([]);
});

test('a day is that of the time zone of the premises', async () => {
  const { floor, ids: made } = full;
  // In London summer time began on 29 March 2026: 23:30 UTC on the 30th is half past midnight on the 31st.
  const reading = await floor.gravity(made.lots, 0.9984, '2026-03-30T23:30:00Z');
  const path = `/v1/lots/${made.lots}/readings`;
  expect(await ids(`${path}?from=2026-03-31&before=2026-04-01`)).toEqual([reading]);
  expect(await ids(`${path}?from=2026-03-30&before=2026-03-31`)).toEqual([]);
});

test('operations are found by vessel, by packaged lot, by material lot and by day', async () => {
  const { ids: made } = full;
  const kinds = async (query: string) => (await found(`/v1/operations?${query}`)).map(({ kind }) => kind);
  expect(await kinds(`vesselId=${made.vessels}`)).toEqual(['transfer', 'packaging']);
  expect(await kinds(`packagedLotId=${made['packaged-lots']}`)).toEqual(['packaging', 'movement', 'count', 'transit']);
  expect(await kinds(`materialLotId=${made['material-lots']}`)).toEqual(['receipt']);
  expect(await kinds('from=2026-03-14&before=2026-03-16')).toEqual(['transfer', 'packaging']);
});

test('a cursor belongs to the filters that it was given out with', async () => {
  const { floor, ids: made } = full;
  const first = await floor.get(`/v1/operations?lotId=${made.lots}&limit=1`);
  const cursor = String(first.next);
  const second = await floor.get(`/v1/operations?lotId=${made.lots}&limit=2&cursor=${cursor}`);
  expect((second.items as Item[]).length).toBe(2);
  for (const query of ['', `&lotId=${OTHER}`, `&lotId=${made.lots}&kind=packaging`]) {
    const refused = await service.call('get', `/v1/operations?cursor=${cursor}${query}`, { key: floor.key });
    const problem = problemOf(refused);
    expect({ status: refused.status, code: problem.code }).toEqual({ status: 400, code: 'cursor-malformed' });
    expect(problem.detail).toBe('The cursor is not one that was given out for this list with these filters.');
  }
});

test('the link to the next page carries the filters', async () => {
  const { floor, ids: made } = full;
  const path = `/v1/lots/${made.lots}/readings?kind=gravity&limit=1`;
  const response = await service.expect(200, 'get', path, { key: floor.key });
  const next = /^<(.+)>; rel="next"$/.exec(String(response.headers.link))?.[1] ?? '';
  expect(next).toContain('kind=gravity');
  expect((await found(next)).every(({ kind }) => kind === 'gravity')).toBe(true);
});
