import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

// Wherever the liquid is by now: on other premises, come back, cropped before it was finished, opened with.

type Json = Record<string, unknown>;

const PERIODS: [string, string][] = [['2026-04-01', '2026-05-01']];
let service: TestService;
let floor: Floor;
let farId: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-28T08:00:00Z')) });
  floor = await Floor.open(service, PERIODS);
  farId = String((await floor.post('/v1/premises', { name: 'Far Store (invented)', timeZone: 'Europe/London' })).id);
  await floor.post('/v1/periods', { premisesId: farId, startsOn: '2026-04-01', endsBefore: '2026-05-01' });
});
afterAll(() => service.stop());
afterEach(async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});

const litres = (value: number) => ({ value, unit: 'L' });

async function charged(vesselId: string): Promise<string> {
  const lotId = await floor.lot('mixed-drink');
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: litres(100),
    standardUncertainty: { value: 0.5, unit: 'L' },
    occurredAt: '2026-04-02T10:00:00Z',
  });
  return lotId;
}

const certify = (lotId: string, value: number, more: Json = {}): Promise<Json> =>
  floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'certificate',
    certificate: { strength: { value, unit: '%' }, expandedUncertainty: { value: 0.1, unit: '%' }, coverageFactor: 2 },
    ...more,
  });

async function packed(lotId: string, vesselId: string): Promise<string> {
  const { packagedLotId } = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId,
    container: 'bottle',
    nominalVolume: litres(0.5),
    count: 200,
    emptied: true,
    declaredStrength: { value: 5, unit: '%' },
    occurredAt: '2026-04-15T09:00:00Z',
  });
  return String(packagedLotId);
}

const move = (kind: string, packagedLotId: string, count: number, more: Json): Promise<Json> =>
  floor.post('/v1/movements', { kind, packagedLotId, count, ...more });

/** Litres, fermented and added of all stock of something, the emptied left out. */
async function held(id: unknown): Promise<number[][]> {
  const { items } = (await floor.get('/v1/accounts?limit=200')) as {
    items: (Json & Record<'litres' | 'fermented' | 'added', { value: number }>)[];
  };
  return items
    .filter((each) => each.litres.value > 0 && JSON.stringify(each).includes(String(id)))
    .map((each) => [each.litres.value, each.fermented.value, each.added.value])
    .sort((a, b) => a[0] - b[0]);
}

test('a restatement that reaches other premises is reversed there too', async () => {
  const vessel = await floor.vessel('A');
  const lotId = await charged(vessel);
  await certify(lotId, 5, { occurredAt: '2026-04-10T09:00:00Z' });
  const packagedLotId = await packed(lotId, vessel);
  const sent = await floor.post('/v1/transits', {
    packagedLotId,
    count: 60,
    fromPremisesId: floor.premisesId,
    toPremisesId: farId,
    document: 'DOC-2',
    occurredAt: '2026-04-16T09:00:00Z',
  });
  await floor.post(`/v1/transits/${String(sent.id)}/arrival`, {
    count: 60,
    occurredAt: '2026-04-17T09:00:00Z',
  });
  const { operationId } = await certify(lotId, 4.8);
  expect(await held(packagedLotId)).toEqual([
    [30, 1.44, 0],
    [70, 3.36, 0],
  ]);
  await floor.post(`/v1/operations/${String(operationId)}/reversal`, { reasonCode: 'laboratory-result' });
  expect(await held(packagedLotId)).toEqual([
    [30, 1.5, 0],
    [70, 3.5, 0],
  ]);
});

test('goods that came back to where none had stood are restated', async () => {
  const vessel = await floor.vessel('B');
  const lotId = await charged(vessel);
  await certify(lotId, 5, { occurredAt: '2026-04-10T09:00:00Z' });
  const packagedLotId = await packed(lotId, vessel);
  await move('release', packagedLotId, 100, { occurredAt: '2026-04-16T09:00:00Z' });
  await move('return', packagedLotId, 40, {
    counterparty: 'A shop (invented)',
    dutyStatus: 'paid',
    occurredAt: '2026-04-17T09:00:00Z',
  });
  const { restatement } = (await certify(lotId, 4.8)) as { restatement: { outflows: Json[] } };
  expect(await held(packagedLotId)).toEqual([
    [20, 0.96, 0],
    [50, 2.4, 0],
  ]);
  expect(restatement.outflows).toMatchObject([
    { kind: 'released', volume: { value: 50 } },
    { kind: 'returned', volume: { value: -20 } },
  ]);
});

test('yeast cropped while in process follows every finding of record, and what was added stays what it was', async () => {
  const vessel = await floor.vessel('C');
  const material = await floor.post('/v1/materials', {
    name: 'Spirit (invented)',
    kind: 'spirit',
    strength: { value: 80, unit: '%' },
  });
  const spirit = await floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code: 'N-1',
    volume: litres(10),
    occurredAt: '2026-04-01T09:00:00Z',
  });
  const lotId = await charged(vessel);
  const added = await floor.post(`/v1/lots/${lotId}/additions`, {
    vesselId: vessel,
    purpose: 'flavouring',
    materialLotId: spirit.id,
    volume: litres(2.5),
    occurredAt: '2026-04-03T09:00:00Z',
  });
  const { compositionId } = added;
  await certify(lotId, 4, { compositionId, standing: 'provisional', occurredAt: '2026-04-06T09:00:00Z' });
  const yeast = await floor.post('/v1/materials', { name: 'Yeast (invented)', kind: 'yeast' });
  const { materialLotId } = await floor.post(`/v1/lots/${lotId}/yeast-crops`, {
    vesselId: vessel,
    volume: litres(10),
    materialId: yeast.id,
    materialLotCode: 'Y-1',
    occurredAt: '2026-04-07T09:00:00Z',
  });
  const [[, , cropAdded]] = await held(materialLotId);
  expect(cropAdded).toBeGreaterThan(0.19);
  const of = (total: number): number[][] => [[10, Math.round((total - cropAdded) * 1e6) / 1e6, cropAdded]];
  expect(await held(materialLotId)).toEqual(of(0.4));
  await certify(lotId, 5, { compositionId, occurredAt: '2026-04-10T09:00:00Z' });
  expect(await held(materialLotId)).toEqual(of(0.5));
  // Finished: from now on both change alike, as in the vessel.
  await certify(lotId, 4.8, { compositionId });
  const [[volume, fermented, share]] = await held(materialLotId);
  expect(volume).toBe(10);
  expect(fermented + share).toBeCloseTo(0.48, 9);
  expect(share).toBeLessThan(cropAdded);
});

test('packed goods that the books began with are restated by a finding of theirs', async () => {
  const lotId = await floor.lot('mixed-drink');
  const opened = (await floor.post('/v1/openings', {
    premisesId: floor.premisesId,
    packaged: [
      {
        lotId,
        container: 'bottle',
        nominalVolume: litres(0.5),
        count: 200,
        lotMark: 'OLD-1',
        declaredStrength: { value: 5, unit: '%' },
        strengthStandardUncertainty: { value: 0.1, unit: '%' },
        packagedOn: '2026-02-01',
      },
    ],
    occurredAt: '2026-04-01T08:00:00Z',
  })) as { compositionIds: string[]; packagedLotIds: string[] };
  const [packagedLotId] = opened.packagedLotIds;
  expect(await held(packagedLotId)).toEqual([[100, 5, 0]]);
  await move('release', packagedLotId, 50, { occurredAt: '2026-04-16T09:00:00Z' });
  await certify(lotId, 4.8, { compositionId: opened.compositionIds[0] });
  expect(await held(packagedLotId)).toEqual([[75, 3.6, 0]]);
});
