import type { ChargeableLoss } from '../../src/tenancy/producers/chargeable-loss.dto.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import type { TestService } from '../support/service.js';
import { startingSet, withRate } from './rules-support.js';

const L = (value: number) => ({ value, unit: 'L' });

/** Changes the producer's settings, leaving the others as they are. */
export async function changeSettings(floor: Floor, change: object): Promise<void> {
  const producer = await floor.service.expect(200, 'get', '/v1/producer', { key: floor.key });
  const { settings } = producer.body as { settings: object };
  await floor.service.expect(200, 'patch', '/v1/producer', {
    key: floor.key,
    headers: { 'if-match': String(producer.headers.etag) },
    body: { settings: { ...settings, ...change } },
  });
}

/**
 * March: 100 L of cider at 5 % in T1 and 1000 bottles of beer (0.33 L at 4.6 %, declared 4.55 %); 150 half-litres of cider are packed, the rest
 * goes over into T2, beer is released and broken, and a stock-take finds ten bottles of beer too few and one of cider too many.
 */
export async function chargeableMarch(service: TestService, losses: readonly ChargeableLoss[]) {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  await floor.post('/v1/duty-rule-sets', {
    ...withRate(startingSet('uk-litre-of-alcohol'), 'beer', '2026-01-01', 21.78),
  });
  await changeSettings(floor, { chargeableLosses: losses, lateAfterDays: 14 });
  const { packaged, lots, vessels } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [
      {
        mark: 'B-1',
        category: 'beer',
        count: 1000,
        nominalLitres: 0.33,
        declaredPercent: 4.55,
        percent: 4.6,
        strengthU: 0.1,
      },
    ],
  );
  const [lotId] = lots;
  const cellar = await floor.vessel('T2');
  const run = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId: vessels[0],
    container: 'bottle',
    nominalVolume: L(0.5),
    count: 150,
    meanFill: L(0.502),
    loss: L(0.7),
    emptied: false,
    lotMark: 'P-1',
    declaredStrength: { value: 5, unit: '%' },
    occurredAt: '2026-03-05T12:00:00Z',
  });
  await floor.post(`/v1/lots/${lotId}/transfers`, {
    fromVesselId: vessels[0],
    toVesselId: cellar,
    loss: L(0.5),
    occurredAt: '2026-03-06T12:00:00Z',
  });
  const bottles = packaged[0];
  const move = (kind: string, count: number, day: string, more: object = {}) =>
    floor.post('/v1/movements', {
      kind,
      packagedLotId: bottles,
      count,
      occurredAt: `2026-03-${day}T12:00:00Z`,
      ...more,
    });
  await move('release', 300, '10');
  await move('packaging-loss', 20, '12');
  await floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    occurredAt: '2026-03-20T12:00:00Z',
    counts: [
      { packagedLotId: bottles, count: 670 },
      { packagedLotId: String(run.packagedLotId), count: 151, reasonCode: 'counting-error' },
    ],
  });
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  return { floor, periodId: id, bottles };
}
