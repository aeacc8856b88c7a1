import type { Floor } from '../support/floor.js';
import { openStock } from '../support/books.js';

type Json = Record<string, unknown>;

const L = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

export interface Played {
  /** Gain of volume by the water, as the answer of the dilution says. */
  readonly mixing: number;
  readonly periodId: string;
}

/**
 * February: 800 L of beer of 1.046, packed in 600 bottles and ten kegs; ten bottles released; closed. March: one more brew of 1.052, watered, racked, bottled, and
 * all that a month brings. Gin is there from the opening.
 */
export async function playMonth(floor: Floor): Promise<Played> {
  const { post } = floor;
  const at = (day: string, time = '12:00'): { occurredAt: string } => ({ occurredAt: `2025-${day}T${time}:00Z` });
  const call = post.bind(floor);
  const {
    packaged: [gin],
  } = await openStock(
    floor,
    '2025-02-01T08:00:00Z',
    [],
    [
      {
        mark: 'G-1',
        category: 'gin',
        count: 60,
        nominalLitres: 0.7,
        declaredPercent: 37.2,
        percent: 37.2,
        strengthU: 0.05,
      },
    ],
  );
  const brew = async (
    tank: string,
    litres: number,
    gravity: number,
    [first, last]: [string, string],
    gauged = litres,
  ) => {
    const vesselId = await floor.vessel(tank);
    const lotId = await floor.lot('beer');
    await floor.gravity(lotId, gravity, `2025-${first}T09:00:00Z`);
    await call(`/v1/lots/${lotId}/charges`, { vesselId, volume: L(litres), ...at(first, '10:00') });
    await floor.gravity(lotId, 1.01, `2025-${last}T08:00:00Z`);
    if (gauged !== litres) {
      await call(`/v1/lots/${lotId}/gauges`, { vesselId, volume: L(gauged), ...at(last, '08:30') });
    }
    await call(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', ...at(last, '09:00') });
    return { vesselId, lotId };
  };
  const pack = async (lotId: string, more: Json): Promise<string> =>
    String((await call(`/v1/lots/${lotId}/packagings`, { emptied: false, ...more })).packagedLotId);
  const move = (kind: string, goods: Json, more: Json): Promise<Json> =>
    call('/v1/movements', { kind, ...goods, ...more });

  const old = await brew('F1', 800, 1.046, ['02-02', '02-10']);
  const oldRun = { vesselId: old.vesselId, declaredStrength: percent(4.8), loss: L(0) };
  const b1 = await pack(old.lotId, {
    ...oldRun,
    container: 'bottle',
    nominalVolume: L(0.5),
    count: 600,
    lotMark: 'B-1',
    ...at('02-11'),
  });
  const k1 = await pack(old.lotId, {
    ...oldRun,
    container: 'keg',
    nominalVolume: L(50),
    count: 10,
    lotMark: 'K-1',
    ...at('02-12'),
  });
  const february = await move('release', { packagedLotId: b1, count: 10 }, at('02-20'));
  const [{ id: closed }, { id: periodId }] = (await floor.get('/v1/periods')).items as { id: string }[];
  await call(`/v1/periods/${closed}/closing`, {});

  // 1000 L of wort, 980 L of beer by the dip, 10 L of it trub; 30 L of water.
  const brewed = await brew('F2', 1000, 1.052, ['03-02', '03-09'], 980);
  const bright = await floor.vessel('T2');
  await call(`/v1/lots/${brewed.lotId}/transfers`, {
    fromVesselId: brewed.vesselId,
    toVesselId: bright,
    loss: L(10),
    lossKind: 'yeast-and-trub',
    ...at('03-10'),
  });
  const watered = await call(`/v1/lots/${brewed.lotId}/dilutions`, { vesselId: bright, water: L(30), ...at('03-11') });
  const run = { vesselId: bright, declaredStrength: percent(5.3) };
  const k2 = await pack(brewed.lotId, {
    ...run,
    container: 'keg',
    nominalVolume: L(50),
    count: 10,
    loss: L(2),
    dispense: 'draught-connector',
    lotMark: 'K-2',
    ...at('03-12'),
  });
  const b2 = await pack(brewed.lotId, {
    ...run,
    container: 'bottle',
    nominalVolume: L(0.5),
    count: 800,
    meanFill: L(0.502),
    loss: L(3),
    lotMark: 'B-2',
    ...at('03-13'),
  });
  await call(`/v1/lots/${brewed.lotId}/gauges`, {
    vesselId: bright,
    volume: L(90),
    reasonCode: 'measuring-error',
    ...at('03-14'),
  });
  const bottles = (packagedLotId: string, count: number): Json => ({ packagedLotId, count });
  await move('release', bottles(k2, 6), at('03-15'));
  const released = await move('release', bottles(b2, 500), at('03-16'));
  await move('release', bottles(b1, 40), at('03-17'));
  await move('release', bottles(gin, 20), at('03-17', '13:00'));
  await move('export', bottles(b1, 100), { evidence: { document: 'EX-1' }, ...at('03-18') });
  await move('dispatch-suspended', bottles(b1, 60), {
    counterparty: 'A warehouse',
    evidence: { document: 'D-1' },
    ...at('03-19'),
  });
  await move('return', bottles(b2, 20), { counterparty: 'A shop', returnOf: released.id, ...at('03-20') });
  await move('sample', bottles(b1, 4), at('03-21'));
  await move('own-use', bottles(b2, 10), at('03-22'));
  await move('accidental-loss', bottles(b1, 6), { reasonCode: 'breakage', ...at('03-23') });
  await move('destruction', bottles(b1, 8), {
    reasonCode: 'spoilage',
    witness: 'A. Witness',
    evidence: { method: 'poured off' },
    ...at('03-23', '13:00'),
  });
  await move('process-loss', { lotId: brewed.lotId, vesselId: bright, volume: L(1) }, at('03-23', '14:00'));
  const again = await floor.lot('beer');
  await call('/v1/reworks', {
    packagedLotId: k1,
    count: 1,
    lotId: again,
    vesselId: await floor.vessel('T3'),
    loss: L(0.5),
    ...at('03-24'),
  });
  await call('/v1/stock-takes', {
    premisesId: floor.premisesId,
    counts: [
      { packagedLotId: b1, count: 374 },
      { packagedLotId: b2, count: 307 },
    ],
    ...at('03-30'),
  });
  await move('release', bottles(b1, 12), {
    ...at('03-31', '20:30'),
    corrects: { operationId: february.id, reasonCode: 'wrong-count' },
  });
  return { mixing: (watered.volumeChange as { value: number }).value, periodId };
}
