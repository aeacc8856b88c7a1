import { withoutOtherUnits } from '../support/other-units.js';
import { TestService } from '../support/service.js';
import { sameRefusal, UNKNOWN_ID, World } from './records-world.js';

let service: TestService;
let world: World;
beforeAll(async () => {
  service = await TestService.start();
  world = await World.of(service);
});
afterAll(() => service.stop());

const fermenter = () => ({ premisesId: world.premisesId, name: 'FV 1', kind: 'fermenter' });
const hydrometer = { name: 'Hydrometer 1', kind: 'hydrometer', scale: 'sg-20-20' };
const region = { from: 0.98, to: 1.02, correction: -0.0002, standardUncertainty: 0.0002 };
const calibration = { performedOn: '2026-01-10', validUntil: '2027-01-09', regions: [region] };

describe('vessels', () => {
  test('keep the capacity as it was given, and answer as they were made', async () => {
    const made = await world.post('/v1/vessels', { ...fermenter(), capacity: { value: 50, unit: '[gal_us]' } });
    expect(made).toMatchObject({
      name: 'FV 1',
      kind: 'fermenter',
      capacity: { value: 50, unit: '[gal_us]' },
      version: 1,
    });
    const read = await world.get(`/v1/vessels/${made.id}`);
    expect(read).toEqual({ ...withoutOtherUnits(made), contents: { state: 'empty' } });
    const [row] = await service.client.$transaction(async (tx) => {
      await tx.$queryRaw`SELECT set_config('app.producer', ${world.producerId}, true)`;
      return tx.$queryRaw<{ l: string }[]>`SELECT capacity_l::text AS l FROM vessel WHERE id = ${made.id}::uuid`;
    });
    expect(row.l).toBe('189.270589'); // 50 × 3.785411784 = 189.2705892 L, half-even to 6 places
  });

  test('are changed only with the tag that was read, and retired', async () => {
    const made = await world.post('/v1/vessels', fermenter());
    const path = `/v1/vessels/${made.id}`;
    expect((await world.patch(path, { name: 'FV 2' }, '"v9"')).status).toBe(412);
    expect((await service.call('patch', path, { key: world.key, body: { name: 'x' } })).status).toBe(428);
    const changed = await world.patch(path, { name: 'FV 2', capacity: { value: 2, unit: 'hL' } }, '"v1"');
    expect(changed.status).toBe(200);
    expect(changed.headers.etag).toBe('"v2"');
    expect(changed.body).toMatchObject({ name: 'FV 2', capacity: { value: 2, unit: 'hL' }, version: 2 });
    const retired = await world.patch(path, { retired: true }, '"v2"');
    expect(retired.body.retiredAt).toBeDefined();
    expect((await world.patch(path, { retired: false }, '"v3"')).body.retiredAt).toBeUndefined();
  });

  test('two changes at once with one tag: one goes through', async () => {
    const made = await world.post('/v1/vessels', fermenter());
    const answers = await Promise.all(
      ['a', 'b', 'c', 'd'].map((name) => world.patch(`/v1/vessels/${made.id}`, { name }, '"v1"')),
    );
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 412, 412, 412]);
  });

  test('list by premises, page by page', async () => {
    const own = await World.of(service);
    const other = await own.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
    const names = ['a', 'b', 'c', 'd', 'e'];
    for (const name of names) {
      await own.post('/v1/vessels', { premisesId: own.premisesId, name, kind: 'tank' });
    }
    await own.post('/v1/vessels', { premisesId: other.id, name: 'elsewhere', kind: 'tank' });
    const seen: string[] = [];
    let path: string | null = `/v1/vessels?limit=2&premisesId=${own.premisesId}`;
    while (path !== null) {
      const page: { items: { name: string }[]; next: string | null } = await own.get(path);
      expect(page.items.length).toBeLessThanOrEqual(2);
      seen.push(...page.items.map(({ name }) => name));
      path = page.next === null ? null : `/v1/vessels?limit=2&premisesId=${own.premisesId}&cursor=${page.next}`;
    }
    expect(seen).toEqual(names);
    await own.trailHolds();
  });

  test.each([
    ['unit-unknown', { capacity: { value: 1, unit: 'bucket' } }],
    ['out-of-range', { capacity: { value: 0, unit: 'L' } }],
    ['out-of-range', { capacity: { value: -5, unit: 'L' } }],
    ['out-of-range', { capacity: { value: 1001, unit: 'm3' } }],
    ['validation-failed', { capacity: { value: 1.0000001, unit: 'L' } }],
    ['validation-failed', { capacity: { value: '5', unit: 'L' } }],
    ['validation-failed', { kind: 'bathtub' }],
    ['validation-failed', { name: '' }],
    ['validation-failed', { name: null }],
    ['validation-failed', { balance: 5 }],
    ['validation-failed', { premisesId: 'mill' }],
    ['malformed-body', { name: 'a\u0000b' }],
  ])('refuse %s: %j', async (code, change) => {
    await world.refused(code, 'post', '/v1/vessels', { ...fermenter(), ...change });
  });

  test('stand at premises of their own producer', async () => {
    const other = await World.of(service);
    const unknown = await world.refused('not-found', 'post', '/v1/vessels', { ...fermenter(), premisesId: UNKNOWN_ID });
    expect(unknown.errors).toMatchObject([{ pointer: '/premisesId' }]);
    const foreign = { ...fermenter(), premisesId: other.premisesId };
    sameRefusal(await world.refused('not-found', 'post', '/v1/vessels', foreign), unknown);
    const made = await other.post('/v1/vessels', { ...fermenter(), premisesId: other.premisesId });
    for (const [method, body] of [['get'], ['patch', { name: 'mine' }]] as const) {
      const headers = { 'if-match': '"v1"' };
      sameRefusal(
        await world.refused('not-found', method, `/v1/vessels/${made.id}`, body, headers),
        await world.refused('not-found', method, `/v1/vessels/${UNKNOWN_ID}`, body, headers),
      );
    }
  });

  test('are not added to retired premises', async () => {
    const own = await World.of(service);
    const { id } = await own.post('/v1/premises', { name: 'Never used', timeZone: 'Europe/London' });
    await own.patch(`/v1/premises/${String(id)}`, { retired: true }, '"v1"');
    await own.refused('conflict', 'post', '/v1/vessels', { ...fermenter(), premisesId: id });
  });
});

describe('instruments and their calibrations', () => {
  test('an instrument is made, changed, listed', async () => {
    const made = await world.post('/v1/instruments', {
      ...hydrometer,
      referenceTemperature: { value: 60, unit: '[degF]' },
      resolution: 0.001,
      serialNumber: 'A-17',
    });
    expect(made).toMatchObject({
      ...hydrometer,
      referenceTemperature: { value: 15.56, unit: 'Cel' },
      resolution: 0.001,
    });
    expect(await world.get(`/v1/instruments/${made.id}`)).toEqual(withoutOtherUnits(made));
    const changed = await world.patch(`/v1/instruments/${made.id}`, { scale: 'plato', resolution: 0.1 }, '"v1"');
    expect(changed.body).toMatchObject({ scale: 'plato', resolution: 0.1, serialNumber: 'A-17', version: 2 });
    const page = await world.get<{ items: unknown[] }>('/v1/instruments');
    expect(page.items).toContainEqual(changed.body);
  });

  test('a calibration keeps its regions as the certificate states them', async () => {
    const made = await world.post('/v1/instruments', hydrometer);
    const path = `/v1/instruments/${made.id}/calibrations`;
    const regions = [
      region,
      { from: 1.02, to: 1.1, correction: 0.0003, expandedUncertainty: 0.0006, coverageFactor: 2 },
    ];
    const kept = await world.post(path, { ...calibration, certificate: 'C-1', regions });
    expect(kept).toMatchObject({ instrumentId: made.id, unit: 'sg-20-20', regions, certificate: 'C-1' });
    const later = await world.post(path, { ...calibration, performedOn: '2026-02-01' });
    const first = await world.get<{ items: unknown[]; next: string }>(`${path}?limit=1`);
    expect(first.items).toEqual([kept]);
    expect((await world.get<{ items: unknown[] }>(`${path}?limit=1&cursor=${first.next}`)).items).toEqual([later]);
    const scale = await world.patch(`/v1/instruments/${made.id}`, { scale: 'plato' }, '"v1"');
    expect(scale.body.code).toBe('in-use');
  });

  test.each([
    ['scale-unknown', { scale: 'brix' }],
    ['validation-failed', { kind: 'thermometer' }],
    ['validation-failed', { kind: 'crystal-ball' }],
    ['unit-unknown', { referenceTemperature: { value: 20, unit: 'K' } }],
    ['out-of-range', { referenceTemperature: { value: 90, unit: 'Cel' } }],
    ['out-of-range', { resolution: 0 }],
    ['validation-failed', { resolution: 0.0000001 }],
    ['validation-failed', { retiredAt: '2026-01-01T00:00:00Z' }],
  ])('an instrument is refused: %s, %j', async (code, change) => {
    await world.refused(code, 'post', '/v1/instruments', { ...hydrometer, ...change });
  });

  test.each([
    ['validation-failed', { regions: [{ ...region, to: 0.97 }] }],
    ['validation-failed', { regions: [region, { ...region, from: 1.01, to: 1.05 }] }],
    ['validation-failed', { regions: [{ ...region, expandedUncertainty: 0.0004, coverageFactor: 2 }] }],
    ['validation-failed', { regions: [{ from: 0.98, to: 1.02, correction: 0 }] }],
    ['validation-failed', { regions: [{ from: 0.98, to: 1.02, correction: 0, expandedUncertainty: 0.0004 }] }],
    ['out-of-range', { regions: [{ ...region, standardUncertainty: 0 }] }],
    ['out-of-range', { regions: [{ ...region, to: 10.2 }] }],
    ['not-computable', { regions: [] }],
    ['validation-failed', { validUntil: '2026-01-09' }],
    ['validation-failed', { performedOn: '2026-02-30' }],
    ['validation-failed', { validUntil: '9999-01-01' }],
    ['time-ahead', { performedOn: '2150-01-01', validUntil: '2151-01-01' }],
  ])('a calibration is refused: %s, %j', async (code, change) => {
    const made = await world.post('/v1/instruments', hydrometer);
    await world.refused(code, 'post', `/v1/instruments/${made.id}/calibrations`, { ...calibration, ...change });
  });

  test('a hydrometer without a scale cannot be calibrated', async () => {
    const made = await world.post('/v1/instruments', { name: 'Found in a drawer', kind: 'hydrometer' });
    await world.refused('conflict', 'post', `/v1/instruments/${made.id}/calibrations`, calibration);
  });

  test("another producer's instrument is unknown", async () => {
    const other = await World.of(service);
    const made = await other.post('/v1/instruments', hydrometer);
    for (const [method, path, body] of [
      ['get', ''],
      ['patch', '', { name: 'mine' }],
      ['patch', '', { scale: 'plato' }],
      ['get', '/calibrations'],
      ['post', '/calibrations', calibration],
    ] as const) {
      const headers = { 'if-match': '"v1"' };
      sameRefusal(
        await world.refused('not-found', method, `/v1/instruments/${made.id}${path}`, body, headers),
        await world.refused('not-found', method, `/v1/instruments/${UNKNOWN_ID}${path}`, body, headers),
      );
    }
  });
});

describe('materials', () => {
  const malt = { name: 'Pale malt', kind: 'malt', fermentable: 'malt', extractYield: { value: 72.5, unit: '%' } };

  test('are made, changed and kept apart from what they are not', async () => {
    const made = await world.post('/v1/materials', malt);
    expect(made).toMatchObject(malt);
    expect(await world.get(`/v1/materials/${made.id}`)).toEqual(made);
    const changed = await world.patch(`/v1/materials/${made.id}`, { extractYield: { value: 74, unit: '%' } }, '"v1"');
    expect(changed.body).toMatchObject({ ...malt, extractYield: { value: 74, unit: '%' }, version: 2 });
    expect((await world.patch(`/v1/materials/${made.id}`, { name: 'x' }, '"v1"')).status).toBe(412);
    const spirit = { name: 'Neutral spirit', kind: 'spirit', strength: { value: 96.4, unit: '%' } };
    expect(await world.post('/v1/materials', spirit)).toMatchObject(spirit);
  });

  test.each([
    ['out-of-range', { extractYield: { value: 120, unit: '%' } }],
    ['validation-failed', { fermentable: 'sucrose' }],
    ['validation-failed', { fermentable: 'hope' }],
    ['out-of-range', { strength: { value: 100.001, unit: '%' } }],
    ['out-of-range', { strength: { value: -1, unit: '%' } }],
    ['unit-unknown', { strength: { value: 40, unit: 'proof' } }],
    ['validation-failed', { kind: 'magic' }],
  ])('are refused: %s, %j', async (code, change) => {
    await world.refused(code, 'post', '/v1/materials', { ...malt, ...change });
  });

  test("another producer's is unknown", async () => {
    const made = await (await World.of(service)).post('/v1/materials', malt);
    const headers = { 'if-match': '"v1"' };
    for (const [method, body] of [['get'], ['patch', { name: 'mine' }]] as const) {
      sameRefusal(
        await world.refused('not-found', method, `/v1/materials/${made.id}`, body, headers),
        await world.refused('not-found', method, `/v1/materials/${UNKNOWN_ID}`, body, headers),
      );
    }
  });
});

test('an auditor reads all of it and writes none of it; without a key nothing is shown', async () => {
  const auditor = await world.post<{ key: string }>('/v1/keys', { name: 'Audit', role: 'auditor' });
  for (const noun of ['vessels', 'instruments', 'materials', 'recipes', 'lots']) {
    await service.expect(200, 'get', `/v1/${noun}`, { key: auditor.key });
    const before = await service.rowCounts();
    const refusal = await service.expect(403, 'post', `/v1/${noun}`, { key: auditor.key, body: {} });
    expect(refusal.body.code).toBe('forbidden');
    await service.expect(401, 'get', `/v1/${noun}`);
    expect(await service.rowCounts()).toEqual(before);
  }
});

test('the trail holds after all of it', () => world.trailHolds());
