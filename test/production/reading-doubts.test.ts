import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;
interface Flag {
  code: string;
  detail: string;
  suggestion?: string;
  confirmedBy?: { keyId: string; personId?: string };
}

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-10-30T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-10-01', '2026-11-01']]);
});
afterAll(() => service.stop());

const DOUBTS = [
  'gravity-rising',
  'gravity-mistyped',
  'original-far-from-plan',
  'vessel-holds-another-lot',
  'temperature-unit',
  'extract-below-zero',
  'before-charge',
];

const gravity = (value: number, scale = 'sg-20-20'): Json => ({ kind: 'gravity', gravity: { value, scale } });

let entries = 0;

async function doubts(lotId: string, day: string, body: Json): Promise<Flag[]> {
  // Each entry is one of its own, though the clock of the test stands still.
  const once = { 'idempotency-key': `reading-${(entries += 1)}` };
  const taken = { ...body, takenAt: `2026-10-${day}T09:00:00Z` };
  const made = await floor.post(`/v1/lots/${lotId}/readings`, taken, 201, once);
  const kept = await floor.get(`/v1/readings/${String(made.id)}`);
  expect(kept.flags).toEqual(made.flags);
  return (made.flags as Flag[]).filter(({ code }) => DOUBTS.includes(code));
}
const codes = async (lotId: string, day: string, body: Json): Promise<string[]> =>
  (await doubts(lotId, day, body)).map(({ code }) => code);

/** A lot planned at 1.040: 20.8 kg of sucrose in 200 L. */
async function plannedLot(): Promise<string> {
  const recipe = await floor.post('/v1/recipes', {
    name: 'Sugar ferment (invented)',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: { value: 200, unit: 'L' },
      fermentables: [{ kind: 'sucrose', mass: { value: 20.8, unit: 'kg' } }],
      finalGravity: { value: 0.997, scale: 'sg-20-20' },
    },
  });
  const { id, expected } = recipe.latest as { id: string; expected: { originalGravity: { value: number } } };
  // 104 g/L of sucrose is 10.0 °P, SG 1.0400 (Plato's table: 10 °P is 1.0400).
  expect(expected.originalGravity.value).toBeCloseTo(1.04, 3);
  return floor.lot('sugar-ferment', { recipeVersionId: id });
}

const charge = (lotId: string, vesselId: string, day: string): Promise<Json> =>
  floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: { value: 200, unit: 'L' },
    occurredAt: `2026-10-${day}T10:00:00Z`,
  });

test('a gravity that rises is stored, flagged, and confirmed with the person', async () => {
  const lotId = await floor.lot();
  await charge(lotId, await floor.vessel('A'), '01');
  expect(await doubts(lotId, '02', gravity(1.04))).toEqual([]);
  expect(await doubts(lotId, '04', gravity(1.018))).toEqual([]);
  // A point of SG is the width of a mark: 1.0185 is no rise, 1.0195 is one.
  expect(await codes(lotId, '05', gravity(1.0185))).toEqual([]);
  const [rising] = await doubts(lotId, '06', gravity(1.0205));
  expect(rising).toMatchObject({
    code: 'gravity-rising',
    detail: '1.0205 is above the 1.0185 read at 2026-10-05T09:00:00.000Z; a ferment only falls.',
  });
  expect(rising.suggestion).toContain('Degas');
  const person = await floor.post('/v1/people', { name: 'Ada Invented' });
  const [confirmed] = await doubts(lotId, '07', {
    ...gravity(1.0235),
    confirm: ['gravity-rising', 'vessel-holds-another-lot'],
    personId: person.id,
  });
  expect(confirmed).toEqual({
    code: 'gravity-rising',
    detail: expect.any(String) as string,
    confirmedBy: { keyId: expect.any(String) as string, personId: person.id },
  });
  // The same with the key alone.
  const [byKey] = await doubts(lotId, '08', { ...gravity(1.03), confirm: ['gravity-rising'] });
  expect(byKey.confirmedBy).toEqual({ keyId: confirmed.confirmedBy?.keyId });
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
  await floor.post(`/v1/lots/${lotId}/readings`, { ...gravity(1.03), confirm: ['no-instrument'] }, 400);
});

test('a doubtful reading is confirmed on the second look', async () => {
  const lotId = await floor.lot();
  await floor.gravity(lotId, 1.01, '2026-10-02T09:00:00Z');
  const id = await floor.gravity(lotId, 1.02, '2026-10-03T09:00:00Z');
  const person = await floor.post('/v1/people', { name: 'Bea Invented' });
  const path = `/v1/readings/${id}/confirmation`;
  const body = { confirm: ['gravity-rising'], personId: person.id };
  const wrong = await floor.post(path, { confirm: ['temperature-unit'] }, 409);
  expect(wrong.errors).toMatchObject([{ pointer: '/confirm/0', rule: 'no-such-doubt' }]);
  const confirmed = await floor.post(path, body);
  const flag = (confirmed.flags as Flag[]).find(({ code }) => code === 'gravity-rising');
  expect(flag).toMatchObject({ confirmedBy: { personId: person.id } });
  expect(flag?.suggestion).toBeUndefined();
  const kept = await floor.get(`/v1/readings/${id}`);
  expect(kept.flags).toEqual(confirmed.flags);
  expect((await floor.post(path, body, 409)).detail).toBe('Nothing of this reading waits for a confirmation.');
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});

test('what is struck no longer counts, and a replacement is doubted like an entry', async () => {
  const lotId = await floor.lot();
  const wrong = await floor.gravity(lotId, 1.008, '2026-10-02T09:00:00Z');
  const struck = await floor.post(`/v1/readings/${wrong}/strike`, {
    reasonCode: 'misread',
    replacement: { ...gravity(1.018), takenAt: '2026-10-02T09:30:00Z' },
  });
  expect((struck.replacement as { flags: Flag[] }).flags.map(({ code }) => code)).not.toContain('gravity-rising');
  expect(await codes(lotId, '03', gravity(1.017))).toEqual([]);
});

test('sugar that was added makes another liquid: a higher gravity is no rise', async () => {
  const lotId = await floor.lot();
  const vesselId = await floor.vessel('S');
  await charge(lotId, vesselId, '01');
  await doubts(lotId, '02', gravity(1.04));
  await doubts(lotId, '04', gravity(1.01));
  const sugar = await floor.post('/v1/materials', { name: 'Sucrose', kind: 'sugar' });
  const lot = await floor.post('/v1/material-lots', {
    materialId: sugar.id,
    premisesId: floor.premisesId,
    code: 'SU-1',
    mass: { value: 50, unit: 'kg' },
    occurredAt: '2026-10-01T08:00:00Z',
  });
  await floor.post(`/v1/lots/${lotId}/additions`, {
    vesselId,
    purpose: 'sugar',
    materialLotId: lot.id,
    mass: { value: 10, unit: 'kg' },
    occurredAt: '2026-10-05T09:00:00Z',
  });
  expect(await codes(lotId, '06', gravity(1.028))).toEqual([]);
});

test('an original gravity far from the plan, and one that was mistyped', async () => {
  // 1.044 is 10.9 °P, within 1 °P of the planned 10.0; 1.046 is 11.4 °P.
  expect(await codes(await plannedLot(), '01', gravity(1.0435))).toEqual([]);
  const [far] = await doubts(await plannedLot(), '01', gravity(1.046));
  expect(far).toMatchObject({ code: 'original-far-from-plan' });
  expect(far.detail).toMatch(/expects an original gravity of 1\.0\d{3}; 1\.0460 differs by 1\.\d °P/);
  // 40 °P (SG 1.18) for 40 points, 1.4 is refused with the same words.
  expect(await doubts(await plannedLot(), '01', gravity(40, 'plato'))).toMatchObject([
    { code: 'gravity-mistyped', suggestion: 'Did you mean 1.04 on the scale sg-20-20?' },
  ]);
  expect(await doubts(await plannedLot(), '01', gravity(1.28))).toMatchObject([
    { code: 'gravity-mistyped', suggestion: 'Did you mean 1.028 on the scale sg-20-20?' },
  ]);
  const lotId = await plannedLot();
  for (const [value, suggestion] of [
    [31, '1.031'],
    [1.31, '1.031'],
    [10.31, '1.031'],
    [1031, '1.031'],
  ] as const) {
    const refused = await service.call('post', `/v1/lots/${lotId}/readings`, { key: floor.key, body: gravity(value) });
    expect(problemOf(refused).errors).toMatchObject([{ pointer: '/gravity/value', suggestion }]);
  }
});

test('a vessel that held another lot at that time', async () => {
  const [own, other] = [await floor.lot(), await floor.lot()];
  const [a, b] = [await floor.vessel('V1'), await floor.vessel('V2')];
  await charge(own, a, '05');
  await charge(other, b, '05');
  const code = String((await floor.get(`/v1/lots/${other}`)).code);
  expect(await codes(own, '06', { ...gravity(1.03), vesselId: a })).toEqual([]);
  expect(await doubts(own, '06', { kind: 'ph', value: 4, vesselId: b })).toMatchObject([
    { code: 'vessel-holds-another-lot', suggestion: expect.stringContaining(code) as string },
  ]);
  // Before the other lot was in it there was nothing to contradict; the own lot was charged a day and an hour later.
  expect(await codes(own, '04', { ...gravity(1.03), vesselId: b })).toEqual(['before-charge']);
});

test.each<[Json, string | undefined]>([
  [{ value: 73, unit: 'Cel' }, 'Did you mean 73 °F?'],
  [{ value: 45, unit: 'Cel' }, undefined],
  [{ value: 73, unit: '[degF]' }, undefined],
  [{ value: 20, unit: '[degF]' }, 'Did you mean 20 °C?'],
  [{ value: 30, unit: '[degF]' }, undefined],
  // 100 °C is 38 °C as °F; a boil is not read on a charged lot.
  [{ value: 100, unit: 'Cel' }, 'Did you mean 100 °F?'],
])('a temperature of %j', async (quantity, suggestion) => {
  const lotId = await floor.lot();
  const expected = suggestion === undefined ? [] : [{ code: 'temperature-unit', suggestion }];
  expect(await doubts(lotId, '06', { ...gravity(1.03), sampleTemperature: quantity })).toMatchObject(expected);
  // Of a lot that is not charged yet hot liquor is likely.
  expect(await doubts(lotId, '06', { kind: 'temperature', quantity })).toEqual([]);
  await charge(lotId, await floor.vessel(`T${JSON.stringify(quantity)}`), '05');
  expect(await doubts(lotId, '06', { kind: 'temperature', quantity })).toMatchObject(expected);
});

describe('a refractometer', () => {
  let refractometer: string;
  beforeAll(async () => {
    const made = await floor.post('/v1/instruments', { name: 'R1', kind: 'refractometer', scale: 'plato' });
    refractometer = String(made.id);
  });
  const brix = (value: number, day: string): Json => ({
    ...gravity(value, 'plato'),
    instrumentId: refractometer,
    takenAt: `2026-10-${day}T09:00:00Z`,
  });

  test('reads the original gravity, and nothing once the lot ferments', async () => {
    const lotId = await floor.lot();
    await charge(lotId, await floor.vessel('R'), '01');
    await floor.post(`/v1/lots/${lotId}/readings`, brix(12, '02'));
    await floor.post(`/v1/lots/${lotId}/readings`, brix(11.8, '02'));
    const before = await service.rowCounts();
    const refused = await service.call('post', `/v1/lots/${lotId}/readings`, { key: floor.key, body: brix(5.9, '09') });
    expect(problemOf(refused)).toMatchObject({
      code: 'method-not-applicable',
      detail:
        'A refractometer cannot read a gravity once yeast is in: alcohol refracts light as sugar does, so the reading is too high.',
      errors: [{ pointer: '/instrumentId', rule: 'refractometer-after-yeast' }],
    });
    expect(await service.rowCounts()).toEqual(before);
    // By hydrometer it is taken, and the finding rests on that.
    await floor.post(`/v1/lots/${lotId}/readings`, { ...gravity(1.008), takenAt: '2026-10-09T10:00:00Z' });
    const found = await floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance' });
    // 12 °P to 2.06 °P apparent: (12 − 2.06) × 0.53 (Balling’s shortcut, within 0.2 % vol) is 5.3 % vol.
    expect((found.strength as { value: number }).value).toBeCloseTo(5.3, 0);
  });

  test('reads nothing after yeast was put in', async () => {
    const yeast = await floor.post('/v1/materials', { name: 'Yeast', kind: 'yeast' });
    const lot = await floor.post('/v1/material-lots', {
      materialId: yeast.id,
      premisesId: floor.premisesId,
      code: 'Y-1',
      mass: { value: 5, unit: 'kg' },
      occurredAt: '2026-10-01T08:00:00Z',
    });
    const lotId = await floor.lot();
    await floor.post(`/v1/lots/${lotId}/readings`, brix(12, '01'));
    await floor.post(`/v1/lots/${lotId}/charges`, {
      vesselId: await floor.vessel('RY'),
      volume: { value: 200, unit: 'L' },
      materials: [{ materialLotId: lot.id, mass: { value: 0.1, unit: 'kg' } }],
      occurredAt: '2026-10-01T10:00:00Z',
    });
    await floor.post(`/v1/lots/${lotId}/readings`, brix(12.1, '01'));
    expect((await floor.post(`/v1/lots/${lotId}/readings`, brix(12, '02'), 409)).code).toBe('method-not-applicable');
  });

  test('reads nothing after the step of pitching is done, and again once that entry is withdrawn', async () => {
    const lotId = await floor.lot();
    await floor.post(`/v1/lots/${lotId}/readings`, brix(12, '01'));
    const step = await floor.post(`/v1/lots/${lotId}/steps`, {
      kind: 'pitch-yeast',
      occurredAt: '2026-10-01T12:00:00Z',
    });
    expect((await floor.post(`/v1/lots/${lotId}/readings`, brix(12, '02'), 409)).code).toBe('method-not-applicable');
    await floor.post(`/v1/lots/${lotId}/steps`, { kind: 'pitch-yeast', outcome: 'withdrawn', replaces: step.id });
    await floor.post(`/v1/lots/${lotId}/readings`, brix(12, '02'));
  });
});
