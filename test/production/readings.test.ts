import { SteppableClock } from '../../src/platform/clock.js';
import { TestService } from '../support/service.js';
import { charge, findingOn, newPeriod } from './readings-world.js';
import { UNKNOWN_ID, World } from './records-world.js';

const now = new Date('2026-03-01T12:00:00Z');
let service: TestService;
let world: World;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(now) });
  world = await World.of(service);
});
afterAll(() => service.stop());

interface Reading {
  id: string;
  flags: { code: string; detail: string; suggestion?: string }[];
  takenAt: string;
  recordedAt?: string;
  struck?: { reasonCode: string; note?: string; replacedBy?: string };
}
interface Page {
  items: Reading[];
  next: string | null;
}

const codesOf = ({ flags }: Pick<Reading, 'flags'>): string[] => flags.map(({ code }) => code);
/** The flags of an answer by their codes; each with its text. */
const flagged = (codes: readonly string[]) => codes.map((code) => ({ code, detail: expect.any(String) }));
const gravity = { kind: 'gravity', gravity: { value: 1.032, scale: 'sg-20-20' } };
const read = async (body: object, lotId?: string): Promise<Reading> =>
  world.post<Reading>(`/v1/lots/${lotId ?? (await world.lot()).id}/readings`, body);

describe('a reading is entered', () => {
  test('with a lot, a value and a scale; the rest is default or unknown', async () => {
    const lot = await world.lot();
    const made = await read(gravity, lot.id);
    expect(made).toEqual({
      id: made.id,
      lotId: lot.id,
      ...gravity,
      source: 'hand',
      takenAt: now.toISOString(),
      flags: flagged(['no-instrument', 'no-temperature', 'co2-not-stated']),
    });
    const kept = await world.get<Reading>(`/v1/readings/${made.id}`);
    expect(kept).toEqual({ ...made, recordedAt: kept.recordedAt });
    expect(kept.recordedAt).toBeDefined();
  });

  test('with everything that is known about it', async () => {
    const hydrometer = { name: 'H', kind: 'hydrometer', scale: 'sg-20-20' };
    const instrument = await world.post('/v1/instruments', hydrometer);
    await world.post(`/v1/instruments/${instrument.id}/calibrations`, {
      performedOn: '2026-01-10',
      validUntil: '2027-01-09',
      regions: [{ from: 0.98, to: 1.1, correction: -0.0002, standardUncertainty: 0.0002 }],
    });
    const vessel = await world.post('/v1/vessels', { premisesId: world.premisesId, name: 'FV', kind: 'fermenter' });
    const person = await world.post('/v1/people', { name: 'Ada Invented' });
    const made = await read({
      ...gravity,
      sampleTemperature: { value: 73.4, unit: '[degF]' },
      degassed: true,
      instrumentId: instrument.id,
      personId: person.id,
      vesselId: vessel.id,
      takenAt: '2026-02-28T23:30:00+01:00',
      source: 'sensor',
    });
    expect(made).toMatchObject({
      ...gravity,
      sampleTemperature: { value: 23, unit: 'Cel' },
      degassed: true,
      instrumentId: instrument.id,
      personId: person.id,
      vesselId: vessel.id,
      takenAt: '2026-02-28T22:30:00.000Z',
      source: 'sensor',
      flags: [],
    });
  });

  test.each([
    ['temperature', { quantity: { value: 68, unit: '[degF]' } }, ['no-instrument']],
    ['volume', { quantity: { value: 1.998, unit: 'hL' } }, ['no-instrument', 'no-temperature']],
    ['ph', { value: 4.31 }, ['no-instrument']],
    ['ph', { value: 9 }, ['no-instrument', 'unusual-ph']],
    ['dissolved-co2', { quantity: { value: 4.6, unit: 'g/L' } }, ['no-instrument']],
    ['gauge-pressure', { quantity: { value: -1, unit: 'bar' } }, ['no-instrument', 'no-temperature']],
    ['strength', { quantity: { value: 96.1, unit: '%' }, degassed: true }, ['no-instrument', 'no-temperature']],
    [
      'density',
      { quantity: { value: 998.21, unit: 'kg/m3' }, degassed: false },
      ['no-instrument', 'no-temperature', 'not-degassed'],
    ],
    [
      'gravity',
      { gravity: { value: -2.6, scale: 'plato' }, degassed: true, sampleTemperature: { value: 20, unit: 'Cel' } },
      ['no-instrument'],
    ],
    ['text', { text: 'Smells of bread.\nCrown is falling.' }, []],
  ])('of the kind %s: %j', async (kind, body, flags) => {
    const made = await read({ kind, ...body });
    expect(made).toMatchObject({ kind, ...body, flags: flagged(flags) });
    expect(await world.get(`/v1/readings/${made.id}`)).toMatchObject({ kind, ...body, flags: flagged(flags) });
  });

  test('the text of a person stands outside the trail', async () => {
    await read({ kind: 'text', text: 'Invented remark about Zebedee' });
    const trail = await world.get('/v1/audit-trail?limit=200');
    expect(JSON.stringify(trail)).not.toContain('Zebedee');
  });

  test('six decimals come back as they were given', async () => {
    const made = await read({ kind: 'volume', quantity: { value: 123456.654321, unit: 'L' } });
    expect(await world.get(`/v1/readings/${made.id}`)).toMatchObject({ quantity: { value: 123456.654321, unit: 'L' } });
  });

  test('five minutes ahead is taken, a millisecond more is not', async () => {
    const lot = await world.lot();
    await read({ ...gravity, takenAt: '2026-03-01T12:05:00.000Z' }, lot.id);
    const ahead = { ...gravity, takenAt: '2026-03-01T13:05:00.001+01:00' };
    await world.refused('time-ahead', 'post', `/v1/lots/${lot.id}/readings`, ahead);
  });
});

describe('what an instrument lets one say', () => {
  const instrument = (body: object) => world.post('/v1/instruments', { name: 'I', ...body });
  const sampled = { ...gravity, degassed: true, sampleTemperature: { value: 20, unit: 'Cel' } };
  const flagsOn = async (instrumentId: string, body: object = sampled) =>
    codesOf(await read({ ...body, instrumentId }));

  test('without a record, lapsed, outside its regions', async () => {
    const { id } = await instrument({ kind: 'hydrometer', scale: 'sg-20-20' });
    expect(await flagsOn(id)).toEqual(['no-calibration']);
    const regions = [{ from: 0.98, to: 1.01, correction: 0, standardUncertainty: 0.0002 }];
    const calibrate = (performedOn: string, validUntil: string) =>
      world.post(`/v1/instruments/${id}/calibrations`, { performedOn, validUntil, regions });
    await calibrate('2025-01-01', '2026-02-28');
    expect(await flagsOn(id)).toEqual(['calibration-lapsed']);
    expect(await flagsOn(id, { ...sampled, takenAt: '2026-02-28T23:00:00Z' })).toEqual(['outside-calibration']);
    await calibrate('2026-03-01', '2027-02-28');
    expect(await flagsOn(id)).toEqual(['outside-calibration']);
    expect(await flagsOn(id, { ...sampled, gravity: { value: 1.01, scale: 'sg-20-20' } })).toEqual([]);
  });

  test('of another kind, of another scale, retired', async () => {
    const thermometer = await instrument({ kind: 'thermometer' });
    expect(await flagsOn(thermometer.id)).toEqual(['no-calibration', 'instrument-of-other-kind']);
    const plato = await instrument({ kind: 'hydrometer', scale: 'plato' });
    expect(await flagsOn(plato.id)).toEqual(['no-calibration', 'instrument-of-other-scale']);
    await world.patch(`/v1/instruments/${thermometer.id}`, { retired: true }, '"v1"');
    const temperature = { kind: 'temperature', quantity: { value: 20, unit: 'Cel' } };
    expect(await flagsOn(thermometer.id, temperature)).toEqual(['no-calibration', 'instrument-retired']);
  });

  test('a reading of a retired lot is taken and says so', async () => {
    const lot = await world.lot();
    await world.patch(`/v1/lots/${lot.id}`, { retired: true }, '"v1"');
    expect(codesOf(await read({ kind: 'ph', value: 4 }, lot.id))).toEqual(['no-instrument', 'lot-retired']);
  });
});

describe('lists', () => {
  test('in the order of taking, page by page, by kind', async () => {
    const lot = await world.lot();
    const days = ['07', '03', '05', '03', '01', '06', '02'];
    for (const day of days) {
      await read({ kind: 'ph', value: Number(day), takenAt: `2026-02-${day}T09:00:00Z` }, lot.id);
      await read({ ...gravity, takenAt: `2026-02-${day}T09:00:00Z` }, lot.id);
    }
    const path = `/v1/lots/${lot.id}/readings`;
    const seen: (Reading & { value: number })[] = [];
    for (let next: string | null = ''; next !== null;) {
      const page: Page = await world.get<Page>(`${path}?kind=ph&limit=3${next === '' ? '' : `&cursor=${next}`}`);
      seen.push(...(page.items as (Reading & { value: number })[]));
      next = page.next;
    }
    expect(seen.map(({ value }) => value)).toEqual([1, 2, 3, 3, 5, 6, 7]);
    expect(new Set(seen.map(({ id }) => id)).size).toBe(7);
    expect((await world.get<Page>(path)).items).toHaveLength(14);
    expect((await service.expect(200, 'get', `${path}?limit=2`, { key: world.key })).headers.link).toMatch(
      /rel="next"/,
    );
  });

  test('a cursor is good for one lot, and a made-up one for none', async () => {
    const [a, b] = [await world.lot(), await world.lot()];
    await read(gravity, a.id);
    await read(gravity, a.id);
    const { next } = await world.get<Page>(`/v1/lots/${a.id}/readings?limit=1`);
    await world.refused('cursor-malformed', 'get', `/v1/lots/${b.id}/readings?cursor=${next}`);
    const { encodeCursor } = await import('../../src/platform/pagination.js');
    const forged = encodeCursor(`reading/${a.id}`, ["'; drop table reading; --", 'x']);
    await world.refused('cursor-malformed', 'get', `/v1/lots/${a.id}/readings?cursor=${forged}`);
    await world.refused('validation-failed', 'get', `/v1/lots/${a.id}/readings?kind=mood`);
  });
});

test('the same entry twenty times at once gives one row and one answer', async () => {
  const lot = await world.lot();
  const path = `/v1/lots/${lot.id}/readings`;
  const headers = { 'idempotency-key': 'twenty' };
  const answers = await Promise.all(
    Array.from({ length: 20 }, () => service.expect(201, 'post', path, { key: world.key, body: gravity, headers })),
  );
  expect(new Set(answers.map(({ text }) => text)).size).toBe(1);
  expect(answers.filter((answer) => answer.headers['idempotency-replayed'] === undefined)).toHaveLength(1);
  expect((await world.get<Page>(path)).items).toHaveLength(1);
  const other = { ...gravity, degassed: true };
  expect((await service.call('post', path, { key: world.key, body: other, headers })).body.code).toBe(
    'idempotency-key-reused',
  );
});

test('twenty different ones at once are all kept', async () => {
  const lot = await world.lot();
  await Promise.all(Array.from({ length: 20 }, (_, index) => read({ kind: 'ph', value: index / 2 }, lot.id)));
  expect((await world.get<Page>(`/v1/lots/${lot.id}/readings`)).items).toHaveLength(20);
});

describe('the composition that the lot was', () => {
  test('is the one that held liquid at that moment, in that vessel', async () => {
    const own = await World.of(service);
    const [lot, a, b] = [
      await own.lot(),
      await own.post('/v1/vessels', { premisesId: own.premisesId, name: 'A', kind: 'tank' }),
      await own.post('/v1/vessels', { premisesId: own.premisesId, name: 'B', kind: 'tank' }),
    ];
    const at = async (takenAt: string, body: object = {}) =>
      (await own.post<{ compositionId?: string }>(`/v1/lots/${lot.id}/readings`, { ...gravity, takenAt, ...body }))
        .compositionId;
    expect(await at('2026-02-01T12:00:00Z')).toBeUndefined();
    const first = await charge(own, lot.id, a.id, '2026-02-01T10:00:00Z', newPeriod(own));
    expect(await at('2026-02-01T12:00:00Z')).toBe(first);
    expect(await at('2026-02-01T09:59:59Z')).toBeUndefined();
    const second = await charge(own, lot.id, b.id, '2026-02-05T10:00:00Z', undefined);
    expect(await at('2026-02-04T12:00:00Z')).toBe(first);
    expect(await at('2026-02-06T12:00:00Z')).toBeUndefined();
    expect(await at('2026-02-06T12:00:00Z', { vesselId: b.id })).toBe(second);
    expect((await own.patch(`/v1/vessels/${a.id}`, { retired: true }, '"v1"')).body.code).toBe('in-use');
    expect((await own.patch(`/v1/lots/${lot.id}`, { retired: true }, '"v1"')).body.code).toBe('in-use');
    await own.trailHolds();
  });
});

describe('a strike', () => {
  test('leaves the reading to be seen, and enters it again in the same write', async () => {
    const own = await World.of(service);
    const lot = await own.lot();
    const path = `/v1/lots/${lot.id}/readings`;
    const wrong = await own.post<Reading>(path, { ...gravity, takenAt: '2026-02-20T08:00:00Z' });
    const replacement = { kind: 'gravity', gravity: { value: 1.023, scale: 'sg-20-20' } };
    const body = { reasonCode: 'typing-error', note: 'Figures swapped by Zebedee', replacement };
    const answer = await own.post<{ reading: Reading; replacement: Reading }>(`/v1/readings/${wrong.id}/strike`, body);
    expect(answer.replacement).toMatchObject({ ...replacement, takenAt: wrong.takenAt });
    const struck = { reasonCode: 'typing-error', note: body.note, replacedBy: answer.replacement.id };
    expect(answer.reading).toMatchObject({ id: wrong.id, ...gravity, struck });
    const { items } = await own.get<Page>(path);
    expect(items).toMatchObject([{ id: wrong.id, struck }, { id: answer.replacement.id }]);
    expect(items[1].struck).toBeUndefined();
    const trail = await own.get<{ items: { sequence: number }[] }>('/v1/audit-trail');
    expect(trail.items).toHaveLength(5); // producer, premises, lot, reading, strike with its replacement
    expect(JSON.stringify(trail)).not.toContain('Zebedee');
    await own.trailHolds();
  });

  test('may put the replacement where it belongs', async () => {
    const [wrongLot, rightLot] = [await world.lot(), await world.lot()];
    const wrong = await read(gravity, wrongLot.id);
    const answer = await world.post<{ replacement: Reading }>(`/v1/readings/${wrong.id}/strike`, {
      reasonCode: 'wrong-lot',
      replacement: { ...gravity, lotId: rightLot.id },
    });
    expect((await world.get<Page>(`/v1/lots/${rightLot.id}/readings`)).items).toMatchObject([
      { id: answer.replacement.id },
    ]);
  });

  test('is made once: again it is refused, and of two at once one goes through', async () => {
    const one = await read(gravity);
    await world.post(`/v1/readings/${one.id}/strike`, { reasonCode: 'misread' });
    await world.refused('conflict', 'post', `/v1/readings/${one.id}/strike`, { reasonCode: 'other' });
    const two = await read(gravity);
    const answers = await Promise.all(
      Array.from({ length: 8 }, () =>
        service.call('post', `/v1/readings/${two.id}/strike`, { key: world.key, body: { reasonCode: 'misread' } }),
      ),
    );
    expect(answers.map(({ status }) => status).sort()).toEqual([201, ...Array.from({ length: 7 }, () => 409)]);
    expect(new Set(answers.filter(({ status }) => status === 409).map(({ body }) => body.code))).toEqual(
      new Set(['conflict']),
    );
  });

  test('sent again with its key is answered as the first time, at once or later', async () => {
    const { id } = await read(gravity);
    const headers = { 'idempotency-key': 'strike' };
    const body = { reasonCode: 'misread', replacement: gravity };
    const send = () => service.expect(201, 'post', `/v1/readings/${id}/strike`, { key: world.key, body, headers });
    const answers = await Promise.all(Array.from({ length: 12 }, send));
    expect(new Set([...answers, await send()].map(({ text }) => text)).size).toBe(1);
  });

  test('is refused while a finding rests on the reading', async () => {
    const own = await World.of(service);
    const lot = await own.lot();
    const vessel = await own.post('/v1/vessels', { premisesId: own.premisesId, name: 'A', kind: 'tank' });
    const composition = await charge(own, lot.id, vessel.id, '2026-02-01T10:00:00Z', newPeriod(own));
    const reading = await own.post<Reading>(`/v1/lots/${lot.id}/readings`, gravity);
    const finding = await findingOn(own, lot.id, composition, reading.id, now.toISOString());
    const problem = await own.refused('reading-in-use', 'post', `/v1/readings/${reading.id}/strike`, {
      reasonCode: 'misread',
    });
    expect(problem).toMatchObject({ status: 409, finding });
    await own.trailHolds();
  });

  test('of an unknown reading is answered as one of an unknown reading', async () => {
    await world.refused('not-found', 'post', `/v1/readings/${UNKNOWN_ID}/strike`, { reasonCode: 'misread' });
  });
});

test('the trail holds after all of it', () => world.trailHolds());
