import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
});
afterAll(() => service.stop());

interface Measures {
  volume: { value: number };
  pureAlcohol: { value: number };
}

const check = async () => {
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
};

test('a sugar ferment from charge to bottles', async () => {
  const fermenter = await floor.vessel('FV1');
  const lotId = await floor.lot();
  await floor.gravity(lotId, 1.036, '2026-03-02T09:00:00Z', { sampleTemperature: { value: 23, unit: 'Cel' } });
  const charge = (await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId: fermenter,
    volume: { value: 200, unit: 'L' },
    temperature: { value: 23, unit: 'Cel' },
    occurredAt: '2026-03-02T10:00:00Z',
  })) as unknown as Measures;
  expect(charge.volume.value).toBeCloseTo(199.87, 1);
  expect(charge.pureAlcohol.value).toBe(0);

  await floor.gravity(lotId, 0.9985, '2026-03-12T09:00:00Z', { sampleTemperature: { value: 20, unit: 'Cel' } });
  const provisional = await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'mass-balance',
    standing: 'provisional',
    occurredAt: '2026-03-12T09:30:00Z',
  });
  expect((provisional.strength as { value: number }).value).toBeGreaterThan(4.5);

  await floor.post(`/v1/lots/${lotId}/gauges`, {
    vesselId: fermenter,
    volume: { value: 198, unit: 'L' },
    temperature: { value: 20, unit: 'Cel' },
    occurredAt: '2026-03-13T09:00:00Z',
  });
  const finding = await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'mass-balance',
    occurredAt: '2026-03-13T10:00:00Z',
  });
  expect(finding.standing).toBe('of-record');
  const strength = (finding.strength as { value: number }).value;

  const tank = await floor.vessel('BT1', 'bright-tank');
  const transfer = (await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: fermenter,
    toVesselId: tank,
    loss: { value: 3, unit: 'L' },
    lossKind: 'yeast-and-trub',
    occurredAt: '2026-03-14T09:00:00Z',
  })) as unknown as Measures;
  expect(transfer.volume.value).toBe(195);
  expect(transfer.pureAlcohol.value).toBeCloseTo((195 * strength) / 100, 5);

  const packed = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId: tank,
    container: 'bottle',
    nominalVolume: { value: 330, unit: 'mL' },
    count: 585,
    emptied: true,
    declaredStrength: { value: 4.8, unit: '%' },
    occurredAt: '2026-03-15T09:00:00Z',
  });
  expect(packed).toMatchObject({ count: 585, loss: { value: 1.95 }, gain: { value: 0 }, flags: expect.any(Array) });
  const lots = await floor.get('/v1/packaged-lots');
  expect((lots.items as { onHand: number }[])[0].onHand).toBe(585);
  await check();
});

test('a strong ferment is diluted to 4.5 %, and two more bottles than the gauge said are a flagged gain', async () => {
  const vessel = await floor.vessel('FV2');
  const lotId = await floor.finishedLot(vessel, {
    litres: 100,
    original: 1.09,
    final: 0.995,
    day: '2026-03-03',
    finishedDay: '2026-03-20',
  });
  const dilution = await floor.post(`/v1/lots/${lotId}/dilutions`, {
    vesselId: vessel,
    targetStrength: { value: 4.5, unit: '%' },
    occurredAt: '2026-03-21T09:00:00Z',
  });
  expect((dilution.strength as { value: number }).value).toBeCloseTo(4.5, 4);
  const litres = (dilution as unknown as Measures).volume.value;
  const refused = await floor.post(
    `/v1/lots/${lotId}/findings`,
    { method: 'mass-balance', occurredAt: '2026-03-21T10:00:00Z' },
    409,
  );
  expect(refused.code).toBe('method-not-applicable');

  const count = Math.floor(litres / 0.33) + 2;
  const packed = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId: vessel,
    container: 'bottle',
    nominalVolume: { value: 330, unit: 'mL' },
    count,
    emptied: true,
    declaredStrength: { value: 4.5, unit: '%' },
    occurredAt: '2026-03-22T09:00:00Z',
  });
  expect(packed.flags).toContainEqual(expect.objectContaining({ code: 'more-than-gauged' }));
  expect((packed.gain as { value: number }).value).toBeCloseTo(count * 0.33 - litres, 6);
  await check();
});

test('spirit of 96 % becomes 5 %, volumes not adding', async () => {
  const material = await floor.post('/v1/materials', {
    name: 'Neutral spirit',
    kind: 'spirit',
    strength: { value: 96, unit: '%' },
  });
  const spirit = await floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code: 'NS-1',
    volume: { value: 25, unit: 'L' },
    occurredAt: '2026-03-01T09:00:00Z',
  });
  const vessel = await floor.vessel('MT1', 'mixing-tank');
  const lotId = await floor.lot('spirit-based');
  const charge = await floor.post(`/v1/lots/${lotId}/spirit-charges`, {
    vesselId: vessel,
    spirits: [{ materialLotId: spirit.id, volume: { value: 10, unit: 'L' } }],
    targetStrength: { value: 5, unit: '%' },
    occurredAt: '2026-03-05T09:00:00Z',
  });
  expect((charge as unknown as Measures).pureAlcohol.value).toBe(9.6);
  expect((charge as unknown as Measures).volume.value).toBeCloseTo(192, 3);
  expect((charge.volumeChange as { value: number }).value).toBeCloseTo(-0.28 * 1.92, 2);
  await check();
});

test('books open once, with liquid and packed goods', async () => {
  const other = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const vessel = await other.vessel('BT9', 'bright-tank');
  const [liquid, packed] = [await other.lot(), await other.lot('beer')];
  const body = {
    premisesId: other.premisesId,
    occurredAt: '2026-03-01T00:00:00Z',
    liquids: [
      { lotId: liquid, vesselId: vessel, volume: { value: 400, unit: 'L' }, strength: { value: 5, unit: '%' } },
    ],
    packaged: [
      {
        lotId: packed,
        container: 'bottle',
        nominalVolume: { value: 330, unit: 'mL' },
        count: 1000,
        lotMark: 'L1',
        declaredStrength: { value: 4.5, unit: '%' },
        packagedOn: '2026-02-01',
      },
    ],
  };
  const answer = await other.post('/v1/openings', body);
  expect(answer).toMatchObject({ volume: { value: 730 }, pureAlcohol: { value: 400 * 0.05 + 330 * 0.045 } });
  expect((await other.post('/v1/openings', body, 409)).code).toBe('vessel-in-use');
  expect((await other.post('/v1/openings', { premisesId: other.premisesId, nothing: true }, 409)).code).toBe(
    'conflict',
  );
  expect(await other.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
});
