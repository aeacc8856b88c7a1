import type { Floor } from '../support/floor.js';
import { openStock } from '../support/books.js';

type Json = Record<string, unknown>;

const L = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

/** What the cellar wrote down: answers that the hand cannot reckon, each from the call that gave it. */
export interface Noted {
  readonly diluted: number;
  readonly flavoured: number;
  readonly blended: number;
  readonly conditioning: number;
}

/** The volume change and the like of an answer. */
const noted = (answer: Json, name: string): number => (answer[name] as { value: number }).value;

/**
 * February with an opening and a release, closed; then a March in which every kind of operation occurs once, each at noon of a day of its own.
 * All is at 20 °C, and the strength is found by certificates, so that the hand can follow.
 */
export async function everyKind(floor: Floor): Promise<Noted> {
  let day = 1;
  const next = (): string => `2026-03-${String((day += 1)).padStart(2, '0')}T12:00:00Z`;
  const at = (body: Json): Json => ({ ...body, occurredAt: next() });
  const { packaged, lots, vessels } = await openStock(
    floor,
    '2026-02-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 300, volumeU: 1.5, percent: 5, strengthU: 0.1 }],
    [
      {
        mark: 'B-1',
        category: 'beer',
        count: 1000,
        nominalLitres: 0.33,
        declaredPercent: 4.5,
        percent: 4.6,
        strengthU: 0.1,
      },
    ],
  );
  const [cider] = lots;
  const [tank] = vessels;
  const [bottles] = packaged;
  const february = await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: bottles,
    count: 10,
    occurredAt: '2026-02-20T12:00:00Z',
  });
  const [{ id: closed }] = (await floor.get('/v1/periods')).items as { id: string }[];
  await floor.post(`/v1/periods/${closed}/closing`, {});

  // Cellar.
  const fermenter = await floor.vessel('F1');
  const wash = await floor.lot('sugar-ferment');
  await floor.post(
    `/v1/lots/${wash}/charges`,
    at({ vesselId: fermenter, volume: L(200), standardUncertainty: { value: 1, unit: 'L' } }),
  );
  await floor.post(
    `/v1/lots/${wash}/gauges`,
    at({ vesselId: fermenter, volume: L(198), standardUncertainty: { value: 0.5, unit: 'L' } }),
  );
  await floor.post(
    `/v1/lots/${wash}/findings`,
    at({
      method: 'certificate',
      certificate: { strength: percent(6), expandedUncertainty: { value: 0.1, unit: '%' }, coverageFactor: 2 },
    }),
  );
  const dilution = await floor.post(`/v1/lots/${cider}/dilutions`, at({ vesselId: tank, water: L(30) }));
  const aroma = String(
    (await floor.post('/v1/materials', { name: 'Aroma', kind: 'flavouring', strength: percent(60) })).id,
  );
  const aromaLot = await floor.post(
    '/v1/material-lots',
    at({ materialId: aroma, premisesId: floor.premisesId, code: 'A-1', volume: L(10) }),
  );
  const addition = await floor.post(
    `/v1/lots/${wash}/additions`,
    at({ vesselId: fermenter, purpose: 'flavouring', materialLotId: aromaLot.id, volume: L(2) }),
  );
  const second = await floor.vessel('T2');
  const parted = await floor.lot('cider');
  await floor.post(
    `/v1/lots/${cider}/splits`,
    at({ fromVesselId: tank, toVesselId: second, volume: L(50), newLotId: parted }),
  );
  const third = await floor.vessel('T3');
  const blended = await floor.lot('cider');
  const blend = await floor.post(
    '/v1/blends',
    at({ lotId: blended, vesselId: third, components: [{ vesselId: second }, { vesselId: fermenter, volume: L(20) }] }),
  );
  const fourth = await floor.vessel('T4');
  await floor.post(
    `/v1/lots/${wash}/transfers`,
    at({ fromVesselId: fermenter, toVesselId: fourth, loss: L(1.5), lossKind: 'yeast-and-trub' }),
  );
  const run = await floor.post(
    `/v1/lots/${cider}/packagings`,
    at({
      vesselId: tank,
      container: 'bottle',
      nominalVolume: L(0.5),
      count: 100,
      meanFill: L(0.502),
      loss: L(0.5),
      emptied: false,
      lotMark: 'P-1',
      declaredStrength: percent(4.9),
      conditioning: { sugar: 'sucrose', gramsPerLitre: 6 },
    }),
  );
  const kegs = await floor.post(
    `/v1/lots/${cider}/packagings`,
    at({
      vesselId: tank,
      container: 'keg',
      nominalVolume: L(20),
      count: 3,
      loss: L(0),
      emptied: false,
      lotMark: 'K-1',
      declaredStrength: percent(4.5),
    }),
  );
  await floor.post(
    `/v1/packaged-lots/${String(kegs.packagedLotId)}/repackings`,
    at({ count: 1, into: { container: 'bottle', nominalVolume: L(0.5), count: 39 } }),
  );
  await floor.post(
    `/v1/packaged-lots/${String(kegs.packagedLotId)}/relabellings`,
    at({ count: 1, category: 'mixed-drink' }),
  );
  // What others made: beer under suspension, imported cider, and cider that duty was paid on.
  const receive = async (kind: string, category: string, goods: Json) =>
    floor.post('/v1/receipts', {
      kind,
      premisesId: floor.premisesId,
      supplier: 'Another producer (invented)',
      document: { number: 'DN-1', date: '2026-03-01' },
      lotId: await floor.lot(category),
      ...goods,
      occurredAt: '2026-03-01T12:00:00Z',
    });
  const crate = { container: 'bottle', nominalVolume: L(0.5), lotMark: 'R-1' };
  await receive('received-suspended', 'beer', { packaged: { ...crate, count: 40, declaredStrength: percent(4) } });
  await receive('imported', 'cider', {
    bulk: { vesselId: await floor.vessel('T5'), volume: L(60) },
    strength: percent(7),
  });
  await receive('received-duty-paid', 'cider', { packaged: { ...crate, count: 24, declaredStrength: percent(5) } });
  // Goods out and back.
  const move = (kind: string, goods: Json, more: Json = {}) =>
    floor.post('/v1/movements', at({ kind, ...goods, ...more }));
  const beer = (count: number) => ({ packagedLotId: bottles, count });
  const drawn = (litres: number) => ({ lotId: cider, vesselId: tank, volume: L(litres) });
  await move('release', beer(300));
  await move('dispatch-suspended', beer(50), { counterparty: 'A warehouse', evidence: { document: 'DOC-1' } });
  await move('export', beer(100), { evidence: { document: 'EX-1' } });
  await move('sample', beer(2));
  await move('own-use', beer(6));
  await move('process-loss', drawn(1));
  await move('packaging-loss', beer(10));
  await move('accidental-loss', beer(20), { reasonCode: 'breakage' });
  await move('theft', beer(4), { reasonCode: 'theft', evidence: { report: 'REPORT-1' } });
  await move('transit-loss', beer(3), { reasonCode: 'breakage', evidence: { document: 'DOC-2' } });
  await move('destruction', beer(5), {
    reasonCode: 'spoilage',
    evidence: { method: 'poured off' },
    witness: 'W (invented)',
  });
  await move('yeast-and-trub', drawn(2));
  await move('evaporation', drawn(0.5));
  await move('filtering-loss', drawn(0.8));
  await move('return', beer(7), { counterparty: 'A shop' });
  // The count, and February put right: twelve bottles had gone, not ten.
  await floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    counts: [{ packagedLotId: bottles, count: 494 }],
    occurredAt: '2026-03-31T20:00:00Z',
  });
  await floor.post('/v1/movements', {
    kind: 'release',
    ...beer(12),
    occurredAt: '2026-03-31T21:00:00Z',
    corrects: { operationId: february.id, reasonCode: 'wrong-count' },
  });
  return {
    diluted: noted(dilution, 'volumeChange'),
    flavoured: noted(addition, 'volumeChange'),
    blended: noted(blend, 'volumeChange'),
    conditioning: noted(run.conditioning as Json, 'pureAlcohol'),
  };
}
