import { RecentEntries } from '../../src/tenancy/idempotency/recent-entries.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;

const START = new Date('2026-03-20T09:00:00Z');
const after = (seconds: number): Date => new Date(START.getTime() + seconds * 1000);

test('an entry is remembered for a minute, and as many as the memory takes', () => {
  const entries = new RecentEntries();
  const note = (seconds: number, body: unknown = { a: 1 }, route = '/v1/x', who = 'key') =>
    entries.note(who, route, body, after(seconds));
  expect(note(0)).toBeUndefined();
  expect(note(60)).toEqual(after(0));
  expect(note(121)).toBeUndefined();
  // Another body, route or key is another entry; the order of properties is not.
  expect(note(122, { a: 2 })).toBeUndefined();
  expect(note(122, { a: 1 }, '/v1/y')).toBeUndefined();
  expect(note(122, { a: 1 }, '/v1/x', 'other')).toBeUndefined();
  expect(note(123, { b: 1, c: 2 })).toBeUndefined();
  expect(note(123, { c: 2, b: 1 })).toEqual(after(123));
  for (let i = 0; i < 10_001; i += 1) note(124, { i });
  expect(note(125, { a: 1 })).toBeUndefined();
  expect(note(125, { i: 10_000 })).toEqual(after(124));
});

/** The flags of the second entry alone: that two vessels have one name is another doubt. */
const enteredTwice = ({ flags = [] }: { flags?: { code: string }[] }): { code: string }[] =>
  flags.filter(({ code }) => code === 'entered-twice');

describe('over HTTP', () => {
  let service: TestService;
  let clock: SteppableClock;
  let floor: Floor;
  beforeAll(async () => {
    clock = new SteppableClock(START);
    service = await TestService.start({ clock });
    floor = await Floor.open(service, []);
  });
  afterAll(() => service.stop());
  const vessel = (name: string): Json => ({ premisesId: floor.premisesId, name, kind: 'fermenter' });

  test('the second identical entry within a minute is stored and flagged; one after the minute is not', async () => {
    const first = await floor.post('/v1/vessels', vessel('Tank 1'));
    expect(first.flags).toBeUndefined();
    clock.advance(30_000);
    const second = await floor.post('/v1/vessels', vessel('Tank 1'));
    expect(second.id).not.toBe(first.id);
    expect(enteredTwice(second)).toEqual([
      {
        code: 'entered-twice',
        detail: expect.stringMatching(/^The same was entered at 2026-03-20T09:00:0/) as unknown,
      },
    ]);
    // The flag is of the answer, not of the vessel.
    expect((await floor.get(`/v1/vessels/${String(second.id)}`)).flags).toBeUndefined();
    clock.advance(61_000);
    expect(enteredTwice(await floor.post('/v1/vessels', vessel('Tank 1')))).toEqual([]);
  });

  test('another entry, and one with an Idempotency-Key, are not flagged; a refused one is not remembered', async () => {
    expect((await floor.post('/v1/vessels', vessel('Tank 2'))).flags).toBeUndefined();
    expect((await floor.post('/v1/vessels', vessel('Tank 3'))).flags).toBeUndefined();
    const keyed = await floor.post('/v1/vessels', vessel('Tank 2'), 201, { 'idempotency-key': 'one' });
    expect(enteredTwice(keyed)).toEqual([]);
    await floor.post('/v1/vessels', { ...vessel('Tank 4'), kind: 'bucket of some kind' }, 400);
    await floor.post('/v1/vessels', { ...vessel('Tank 4'), kind: 'bucket of some kind' }, 400);
    expect((await floor.post('/v1/vessels', vessel('Tank 4'))).flags).toBeUndefined();
  });

  test('flags of the entry itself stay beside it', async () => {
    const lotId = await floor.lot();
    const body = { kind: 'gravity', gravity: { value: 1.05, scale: 'sg-20-20' }, takenAt: '2026-03-20T08:00:00Z' };
    const first = (await floor.post(`/v1/lots/${lotId}/readings`, body)).flags as Json[];
    const second = (await floor.post(`/v1/lots/${lotId}/readings`, body)).flags as Json[];
    expect(second.slice(0, first.length)).toEqual(first);
    expect(second.at(-1)).toMatchObject({ code: 'entered-twice' });
  });
});
