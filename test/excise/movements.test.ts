import type { Movement } from '../../src/excise/movements/movements.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

interface Cellar {
  floor: Floor;
  bottles: string;
  cider: { lotId: string; vesselId: string };
}

async function cellar(count = 100): Promise<Cellar> {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 3, volumeU: 0.1, percent: 5, strengthU: 0.1 }],
    [{ mark: 'B-1', category: 'beer', count, nominalLitres: 0.33, declaredPercent: 4.5, percent: 4.6, strengthU: 0.1 }],
  );
  return { floor, bottles: stock.packaged[0], cider: { lotId: stock.lots[0], vesselId: stock.vessels[0] } };
}

const ask = (floor: Floor, body: object, headers: Record<string, string> = {}) =>
  service.call('post', '/v1/movements', { key: floor.key, body, headers });
const stockOf = async (floor: Floor, stage: string) => {
  const items = (await floor.get(`/v1/accounts?stage=${stage}`)).items as {
    litres: { value: number };
    litresOfPureAlcohol: { value: number };
    expandedUncertainty: { litresOfPureAlcohol: { value: number } };
  }[];
  return items[0];
};

test('a release: count times nominal, alcohol pro rata, strength for duty as declared, duty on the local day', async () => {
  const { floor, bottles } = await cellar();
  const person = await floor.post('/v1/people', { name: 'B. Clerk' });
  const made = await ask(floor, {
    kind: 'release',
    packagedLotId: bottles,
    count: 24,
    occurredAt: '2026-03-31T22:30:00Z',
    counterparty: 'Corner shop (invented)',
    note: 'by van',
    personId: person.id,
  });
  expect(made.status).toBe(201);
  expect(made.headers.location).toBe(`/v1/movements/${String(made.body.id)}`);
  expect(made.body).toMatchObject({
    kind: 'release',
    count: 24,
    litres: { value: 7.92 },
    litresOfPureAlcohol: { value: 0.36432 },
    duty: {
      dutyDate: '2026-03-31',
      strengthForDuty: { value: 4.5, unit: '%' },
      litresOfPureAlcohol: { value: 0.3564 },
    },
  });
  const kept = await floor.get(`/v1/movements/${String(made.body.id)}`);
  expect(kept).toMatchObject({ counterparty: 'Corner shop (invented)', note: 'by van', personId: person.id });
  const { counterparty, note, recordedAt } = kept;
  expect(kept).toEqual({ ...made.body, counterparty, note, recordedAt });
  expect(typeof recordedAt).toBe('string');
  const trail = await floor.get('/v1/audit-trail?limit=200');
  expect(JSON.stringify(trail)).not.toMatch(/Corner shop|by van|B\. Clerk/);
});

test('the local day of the event is the duty date, also when it is another day in UTC', async () => {
  const { floor, bottles } = await cellar();
  const made = await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: bottles,
    count: 1,
    occurredAt: '2026-03-31T23:30:00Z',
  });
  expect(made.duty).toMatchObject({ dutyDate: '2026-04-01' });
  const later = await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: bottles,
    count: 1,
    occurredAt: '2026-03-10T12:00:00Z',
    dutyDate: '2026-03-12',
  });
  expect(later.duty).toMatchObject({ dutyDate: '2026-03-12' });
});

test('the last draw takes the rest, to the last decimal, and its uncertainty with it', async () => {
  const { floor, cider } = await cellar();
  for (const litres of [1, 1, 1]) {
    const volume = { value: litres, unit: 'L' };
    await floor.post('/v1/movements', { kind: 'sample', ...cider, volume, occurredAt: '2026-03-05T12:00:00Z' });
  }
  expect(await stockOf(floor, 'cellar')).toMatchObject({
    litres: { value: 0 },
    litresOfPureAlcohol: { value: 0 },
    expandedUncertainty: { litres: { value: 0 }, litresOfPureAlcohol: { value: 0 } },
  });
});

test('what cannot go is refused with its code, and nothing is stored', async () => {
  const { floor, bottles, cider } = await cellar();
  const other = await cellar();
  const unknown = '018f0000-0000-7000-8000-000000000000';
  const litre = { value: 1, unit: 'L' };
  const release = { kind: 'release', packagedLotId: bottles, count: 1, occurredAt: '2026-03-05T12:00:00Z' };
  const sample = { kind: 'sample', ...cider, volume: litre, occurredAt: '2026-03-05T12:00:00Z' };
  const before = await service.rowCounts();
  const refusals: [name: string, body: object, status: number, code: string, pointer?: string][] = [
    ['not packed', { ...sample, kind: 'release' }, 422, 'not-packed', '/vesselId'],
    ['own use not packed', { ...sample, kind: 'own-use' }, 422, 'not-packed', '/vesselId'],
    ['count zero', { ...release, count: 0 }, 422, 'out-of-range', '/count'],
    ['count fractional', { ...release, count: 1.5 }, 422, 'out-of-range', '/count'],
    ['count negative', { ...release, count: -1 }, 422, 'out-of-range', '/count'],
    ['count as text', { ...release, count: '1' }, 400, 'validation-failed', '/count'],
    ['more than there is', { ...release, count: 101 }, 409, 'insufficient-stock', '/count'],
    ['more bulk than there is', { ...sample, volume: { value: 3.000001, unit: 'L' } }, 409, 'insufficient-stock'],
    ['unknown packaged lot', { ...release, packagedLotId: unknown }, 404, 'not-found'],
    ['another producer’s', { ...release, packagedLotId: other.bottles }, 404, 'not-found'],
    ['unknown vessel', { ...sample, vesselId: unknown }, 404, 'not-found'],
    ['unknown lot', { ...sample, lotId: unknown }, 404, 'not-found'],
    ['unknown person', { ...release, personId: unknown }, 404, 'not-found'],
    ['volume zero', { ...sample, volume: { value: 0, unit: 'L' } }, 422, 'out-of-range'],
    ['volume under a drop', { ...sample, volume: { value: 0.0001, unit: 'mL' } }, 422, 'out-of-range'],
    ['volume with 7 decimals', { ...sample, volume: { value: 0.1234567, unit: 'L' } }, 400, 'validation-failed'],
    ['unknown unit', { ...sample, volume: { value: 1, unit: 'pint' } }, 400, 'unit-unknown'],
    ['both ways', { ...release, ...cider, volume: litre }, 400, 'validation-failed'],
    ['neither way', { kind: 'sample' }, 400, 'validation-failed'],
    ['half of one', { kind: 'sample', ...cider }, 400, 'validation-failed', '/volume'],
    ['count missing', { kind: 'release', packagedLotId: bottles }, 400, 'validation-failed', '/count'],
    ['unknown kind', { ...release, kind: 'gift' }, 400, 'validation-failed', '/kind'],
    ['unknown property', { ...release, litres: 1 }, 400, 'validation-failed'],
    ['no document', { ...release, kind: 'export' }, 400, 'validation-failed', '/evidence/document'],
    ['no time of a spill', { ...release, kind: 'accidental-loss', occurredAt: undefined }, 400, 'validation-failed'],
    [
      'no method',
      { ...release, kind: 'destruction', reasonCode: 'spoilage' },
      400,
      'validation-failed',
      '/evidence/method',
    ],
    ['duty date of a sample', { ...sample, dutyDate: '2026-03-05' }, 400, 'validation-failed', '/dutyDate'],
    ['duty date elsewhere', { ...release, dutyDate: '2026-04-01' }, 422, 'out-of-range', '/dutyDate'],
    ['no such day', { ...release, dutyDate: '2026-02-30' }, 400, 'validation-failed', '/dutyDate'],
    ['time without offset', { ...release, occurredAt: '2026-03-05T12:00:00' }, 400, 'validation-failed'],
    ['time ahead', { ...release, occurredAt: '2026-04-02T08:05:01Z' }, 422, 'time-ahead'],
    ['before the opening', { ...sample, occurredAt: '2026-03-01T07:59:59Z' }, 409, 'assertion-in-the-way'],
    ['reason with blanks', { ...release, reasonCode: 'a b' }, 400, 'validation-failed', '/reasonCode'],
  ];
  for (const [name, body, status, code, pointer] of refusals) {
    const refused = await ask(floor, body);
    const problem = problemOf(refused);
    expect([name, refused.status, problem.code]).toEqual([name, status, code]);
    if (pointer !== undefined) {
      expect([name, problem.errors?.map((error) => error.pointer)]).toEqual([name, expect.arrayContaining([pointer])]);
    }
  }
  expect(await service.rowCounts()).toEqual(before);
});

test('too little is refused in bottles, with the account and what the books hold', async () => {
  const { floor, bottles } = await cellar();
  const refused = await ask(floor, { kind: 'release', packagedLotId: bottles, count: 101 });
  expect(refused.body).toMatchObject({
    detail: '100 bottles are in stock; 101 were asked for.',
    inStock: { value: 33, unit: 'L' },
    requested: { value: 33.33, unit: 'L' },
    containersInStock: 100,
    containersRequested: 101,
  });
  expect(String(refused.body.account)).toMatch(/^stock\/packaged\//);
});

test('the vessel of another lot is a conflict; an empty one has nothing', async () => {
  const { floor, cider } = await cellar();
  const otherLot = await floor.lot('cider');
  const empty = await floor.vessel('T9');
  const volume = { value: 1, unit: 'L' };
  expect(problemOf(await ask(floor, { kind: 'sample', ...cider, lotId: otherLot, volume })).code).toBe('conflict');
  const dry = await ask(floor, { kind: 'sample', ...cider, vesselId: empty, volume });
  expect([problemOf(dry).code, dry.body.inStock]).toEqual(['insufficient-stock', { value: 0, unit: 'L' }]);
});

test('a draw dated back is checked against every later moment', async () => {
  const { floor, bottles } = await cellar();
  const at = (day: string, count: number) => ({
    kind: 'release',
    packagedLotId: bottles,
    count,
    occurredAt: `2026-03-${day}T12:00:00Z`,
  });
  await floor.post('/v1/movements', at('20', 90));
  await floor.post('/v1/movements', at('10', 10));
  const refused = await ask(floor, at('10', 1));
  expect([refused.status, problemOf(refused).code]).toEqual([409, 'insufficient-stock']);
});

test('clients at once never take more than there is; the same key takes once', async () => {
  const { floor, bottles } = await cellar(12);
  const body = { kind: 'release', packagedLotId: bottles, count: 1, occurredAt: '2026-03-05T12:00:00Z' };
  const answers = await Promise.all(Array.from({ length: 24 }, () => ask(floor, body)));
  expect(answers.filter(({ status }) => status === 201)).toHaveLength(12);
  expect((await stockOf(floor, 'packed')).litresOfPureAlcohol.value).toBe(0);
  const other = await cellar(20);
  const again = { ...body, packagedLotId: other.bottles };
  const keyed = await Promise.all(
    Array.from({ length: 10 }, () => ask(other.floor, again, { 'idempotency-key': 'k1' })),
  );
  expect(new Set(keyed.map(({ body: made }) => (made as Movement).id)).size).toBe(1);
  expect((await stockOf(other.floor, 'packed')).litres.value).toBe(6.27);
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});

test('lists by kind, packaged lot and period, page by page', async () => {
  const { floor, bottles, cider } = await cellar();
  for (const day of ['05', '06']) {
    await floor.post('/v1/movements', {
      kind: 'release',
      packagedLotId: bottles,
      count: 1,
      occurredAt: `2026-03-${day}T12:00:00Z`,
    });
  }
  const volume = { value: 1, unit: 'L' };
  await floor.post('/v1/movements', { kind: 'sample', ...cider, volume, occurredAt: '2026-04-01T12:00:00Z' });
  const kinds = async (query: string) =>
    ((await floor.get(`/v1/movements?${query}`)).items as Movement[]).map(({ kind }) => kind);
  const [march, april] = (await floor.get('/v1/periods')).items as { id: string }[];
  expect(await kinds('')).toEqual(['release', 'release', 'sample']);
  expect(await kinds('kind=sample')).toEqual(['sample']);
  expect(await kinds(`packagedLotId=${bottles}`)).toEqual(['release', 'release']);
  expect(await kinds(`periodId=${march.id}`)).toEqual(['release', 'release']);
  expect(await kinds(`periodId=${april.id}`)).toEqual(['sample']);
  const first = await floor.get('/v1/movements?limit=2');
  expect(await kinds(`limit=2&cursor=${String(first.next)}`)).toEqual(['sample']);
});

test('who may move goods: not an auditor', async () => {
  const { floor, bottles } = await cellar();
  const auditor = await floor.post('/v1/keys', { name: 'Audit', role: 'auditor' });
  const refused = await service.call('post', '/v1/movements', {
    key: String(auditor.key),
    body: { kind: 'release', packagedLotId: bottles, count: 1 },
  });
  expect(problemOf(refused).code).toBe('forbidden');
});
