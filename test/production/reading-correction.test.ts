import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;
interface Found {
  id: string;
  standing: string;
  restates?: string;
  strength: { value: number };
  compositionId: string;
  readings: { readingId: string; use: string }[];
  restatement?: { change: { value: number }; inStock: { pureAlcohol: { value: number } }[] };
}
interface Corrected {
  dryRun: boolean;
  reading: { id: string; struck?: { reasonCode: string; replacedBy: string } };
  replacement: { id: string; gravity: { value: number }; takenAt: string };
  findings: Found[];
}

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-10-30T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-10-01', '2026-11-01']]);
});
afterAll(() => service.stop());
afterEach(async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});

const gravity = (value: number): Json => ({ kind: 'gravity', gravity: { value, scale: 'sg-20-20' } });
const correction = (value: number, more: Json = {}): Json => ({
  reasonCode: 'misread',
  replacement: gravity(value),
  ...more,
});
const correct = async (id: string, body: Json, status = 201): Promise<Corrected> =>
  (await floor.post(`/v1/readings/${id}/correction`, body, status)) as unknown as Corrected;

/** 100 L from 1.040 to a final gravity, found of record; with the ids of the readings. */
async function lotOf(
  name: string,
  final: number,
): Promise<{ lotId: string; vesselId: string; ids: string[]; found: Found }> {
  const vesselId = await floor.vessel(name);
  const lotId = await floor.lot();
  const original = await floor.gravity(lotId, 1.04, '2026-10-01T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: { value: 100, unit: 'L' },
    occurredAt: '2026-10-01T10:00:00Z',
  });
  const last = await floor.gravity(lotId, final, '2026-10-11T09:00:00Z');
  const found = await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'mass-balance',
    occurredAt: '2026-10-11T10:00:00Z',
  });
  return { lotId, vesselId, ids: [original, last], found: found as unknown as Found };
}

const pureAlcoholIn = async (vesselId: string): Promise<number> => {
  const { items } = (await floor.get('/v1/accounts?limit=200')) as {
    items: { vesselId?: string; litres: { value: number }; fermented: { value: number } }[];
  };
  return items.find((each) => each.vesselId === vesselId && each.litres.value > 0)?.fermented.value ?? NaN;
};

test('a corrected final gravity is struck, entered and found again in one call', async () => {
  // The same lot with the right reading from the start says what has to come out.
  const right = await lotOf('R', 1.005);
  const wrong = await lotOf('W', 0.998);
  expect(wrong.found.strength.value - right.found.strength.value).toBeGreaterThan(0.8);
  const strike = await floor.post(`/v1/readings/${wrong.ids[1]}/strike`, { reasonCode: 'misread' }, 409);
  expect(strike.detail).toContain(`Correct it with POST /v1/readings/${wrong.ids[1]}/correction`);

  const before = await service.rowCounts();
  const preview = await correct(wrong.ids[1], correction(1.005, { dryRun: true }), 200);
  expect(await service.rowCounts()).toEqual(before);
  expect(preview.dryRun).toBe(true);
  const done = await correct(wrong.ids[1], correction(1.005));
  expect(done).toMatchObject({
    dryRun: false,
    reading: { id: wrong.ids[1], struck: { reasonCode: 'misread', replacedBy: done.replacement.id } },
    replacement: { gravity: { value: 1.005 }, takenAt: '2026-10-11T09:00:00.000Z' },
    findings: [
      {
        standing: 'of-record',
        restates: wrong.found.id,
        readings: [
          { readingId: wrong.ids[0], use: 'original' },
          { readingId: done.replacement.id, use: 'final' },
        ],
      },
    ],
  });
  const [found] = done.findings;
  expect(found.strength.value).toBeCloseTo(right.found.strength.value, 9);
  expect(preview.findings[0].strength).toEqual(found.strength);
  expect(preview.findings[0].restatement).toEqual(found.restatement);
  expect(await pureAlcoholIn(wrong.vesselId)).toBe(await pureAlcoholIn(right.vesselId));
  expect(await floor.get(`/v1/readings/${wrong.ids[1]}`)).toMatchObject({
    struck: { replacedBy: done.replacement.id },
  });
  const again = await floor.post(`/v1/readings/${wrong.ids[1]}/correction`, correction(1.006), 409);
  expect(again).toMatchObject({ code: 'conflict', replacedBy: done.replacement.id });
  const { operationId } = found as unknown as { operationId: string };
  const reversed = await floor.post(`/v1/operations/${operationId}/reversal`, { reasonCode: 'misread' }, 409);
  expect(reversed).toMatchObject({ code: 'reading-in-use', finding: wrong.found.id });
  expect(reversed.detail).toContain('Correct the reading that was entered instead');
  // The one that was entered can be corrected in its turn.
  const back = await correct(done.replacement.id, correction(0.998));
  expect(back.findings[0]).toMatchObject({ restates: found.id });
  expect(back.findings[0].strength.value).toBeCloseTo(wrong.found.strength.value, 9);
});

test('a reading that nothing rests on is struck and entered; one of another lot or kind is refused where something does', async () => {
  const lotId = await floor.lot();
  const id = await floor.gravity(lotId, 1.03, '2026-10-05T09:00:00Z');
  expect((await correct(id, correction(1.031))).findings).toEqual([]);
  const { ids } = await lotOf('O', 0.998);
  for (const replacement of [
    { ...gravity(1), lotId },
    { kind: 'ph', value: 4 },
  ]) {
    const refused = await floor.post(
      `/v1/readings/${ids[1]}/correction`,
      { reasonCode: 'wrong-lot', replacement },
      409,
    );
    expect(refused).toMatchObject({ code: 'reading-in-use', errors: [{ pointer: '/replacement' }] });
  }
  // Readings that contradict each other store nothing.
  const before = await service.rowCounts();
  await floor.post(`/v1/readings/${ids[1]}/correction`, correction(1.06), 422);
  expect(await service.rowCounts()).toEqual(before);
});

test('an original gravity under two findings: both are found again', async () => {
  const vesselId = await floor.vessel('S1');
  const aside = await floor.vessel('S2');
  const lotId = await floor.lot();
  const original = await floor.gravity(lotId, 1.05, '2026-10-01T09:00:00Z');
  const charge = { vesselId, volume: { value: 100, unit: 'L' }, occurredAt: '2026-10-01T10:00:00Z' };
  await floor.post(`/v1/lots/${lotId}/charges`, charge);
  const other = await floor.lot();
  await floor.post(`/v1/lots/${lotId}/splits`, {
    fromVesselId: vesselId,
    toVesselId: aside,
    volume: { value: 40, unit: 'L' },
    newLotId: other,
    occurredAt: '2026-10-02T10:00:00Z',
  });
  for (const [lot, final] of [
    [lotId, 1.001],
    [other, 0.999],
  ] as const) {
    await floor.gravity(lot, final, '2026-10-12T09:00:00Z');
    await floor.post(`/v1/lots/${lot}/findings`, { method: 'mass-balance', occurredAt: '2026-10-12T10:00:00Z' });
  }
  const { findings } = await correct(original, correction(1.046));
  expect(findings.map(({ standing, restates }) => [standing, restates !== undefined])).toEqual([
    ['of-record', true],
    ['of-record', true],
  ]);
  const strengths = findings.map(({ strength }) => strength.value);
  expect(await pureAlcoholIn(vesselId)).toBeCloseTo((60 * Math.min(...strengths)) / 100, 5);
  expect(await pureAlcoholIn(aside)).toBeCloseTo((40 * Math.max(...strengths)) / 100, 5);
});

test('a provisional finding is found again as one', async () => {
  const vesselId = await floor.vessel('V');
  const lotId = await floor.lot();
  await floor.gravity(lotId, 1.04, '2026-10-01T09:00:00Z');
  const charge = { vesselId, volume: { value: 100, unit: 'L' }, occurredAt: '2026-10-01T10:00:00Z' };
  await floor.post(`/v1/lots/${lotId}/charges`, charge);
  const mid = await floor.gravity(lotId, 1.012, '2026-10-03T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', occurredAt: '2026-10-03T10:00:00Z' });
  const { findings } = await correct(mid, correction(1.02));
  expect(findings).toMatchObject([{ standing: 'provisional' }]);
  expect(await pureAlcoholIn(vesselId)).toBeCloseTo(findings[0].strength.value, 5);
});

test('after a corrected strength the label of what was filled is answered, in stock and gone', async () => {
  // 1.040 to 0.998 is 5.4 % vol and right for a label of 5.4 %; 1.008 it was, some 4.2 %.
  const producer = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
  // The finding's U is 0.4 % vol, so that the default tolerance of 0.3 % vol could not be told to hold.
  const settings = { ...(producer.body.settings as Json), labelTolerance: { value: 0.5, unit: '%' } };
  const headers = { 'if-match': String(producer.headers.etag) };
  await service.expect(200, 'patch', '/v1/producer', { key: floor.key, body: { settings }, headers });
  const { lotId, vesselId, ids, found } = await lotOf('L', 0.998);
  const declared = Number(found.strength.value.toFixed(1));
  const packed = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId,
    container: 'bottle',
    nominalVolume: { value: 500, unit: 'mL' },
    count: 190,
    declaredStrength: { value: declared, unit: '%' },
    emptied: true,
    reasonCode: 'spill',
    occurredAt: '2026-10-15T09:00:00Z',
  });
  const packagedLotId = String(packed.packagedLotId);
  expect((await floor.get(`/v1/packaged-lots/${packagedLotId}`)).flags).toEqual([]);
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId,
    count: 60,
    occurredAt: '2026-10-16T09:00:00Z',
  });
  const corrected = (await floor.post(`/v1/readings/${ids[1]}/correction`, correction(1.008))) as unknown as {
    findings: { strength: { value: number }; labels: Json[] }[];
  };
  const [{ strength, labels }] = corrected.findings;
  expect(strength.value).toBeLessThan(declared - 0.5);
  expect(labels).toMatchObject([
    {
      packagedLotId,
      code: 'label-does-not-hold',
      declaredStrength: { value: declared },
      strength: { value: expect.closeTo(strength.value, 9) as number },
      inStock: 130,
      outgoing: 60,
    },
  ]);
  expect(labels[0].detail).toContain(`the label says ${declared.toFixed(2)} %`);
  const [flag] = (await floor.get(`/v1/packaged-lots/${packagedLotId}`)).flags as Json[];
  expect(flag).toEqual({ code: 'label-does-not-hold', detail: labels[0].detail });
  const { items } = (await floor.get('/v1/packaged-lots')) as { items: Json[] };
  expect(items.find(({ id }) => id === packagedLotId)?.flags).toEqual([flag]);
  const { items: periods } = (await floor.get('/v1/periods')) as { items: { id: string }[] };
  const check = await floor.get(`/v1/periods/${periods[0].id}/closing-check`);
  expect(JSON.stringify(check)).toContain(`/v1/packaged-lots/${packagedLotId}`);
  expect(JSON.stringify(check)).toContain('label-does-not-hold');
  const attention = await floor.get('/v1/attention?code=label-does-not-hold');
  expect(attention.items).toMatchObject([
    { code: 'label-does-not-hold', detail: expect.stringContaining('130 in stock and 60 sent out') as string },
  ]);
  // The right value makes the label hold again.
  const last = (await floor.get(`/v1/readings/${ids[1]}`)) as { struck: { replacedBy: string } };
  const back = (await floor.post(
    `/v1/readings/${last.struck.replacedBy}/correction`,
    correction(0.998),
  )) as unknown as {
    findings: { labels?: Json[] }[];
  };
  expect(back.findings[0].labels).toBeUndefined();
  expect((await floor.get('/v1/attention?code=label-does-not-hold')).items).toEqual([]);
});
