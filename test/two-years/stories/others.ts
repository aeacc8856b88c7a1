import type { Movement } from '../../../src/excise/movements/movements.dto.js';
import type { Receipt } from '../../../src/production/operations/receipts/receipts.dto.js';
import { micro } from '../../../src/demo/client/micro.js';
import type { Incident } from './incidents.js';

const KEG_L = 30;
const L = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

/** Kegs of another producer come in under suspension, one fewer than the document says; one that was sold comes back spoilt and is destroyed. */
export const guestKegs: Incident = async function* ({ ctx, cellar }) {
  const { api, site, tally } = ctx;
  const at = yield [3, '10:00'];
  const { premisesId, month } = ctx.inPeriod('main', at);
  const serials = [1, 2, 3].map((n) => `G${month}-${n}`);
  const lot = await cellar.lot('main', 'ale');
  const received = await api.post<Receipt>('/v1/receipts', {
    kind: 'received-suspended',
    premisesId,
    supplier: 'Weir Brewery (invented)',
    document: { number: ctx.paper('GUEST'), date: ctx.calendar.monthStart(month) },
    lotId: lot.id,
    packaged: {
      container: 'keg',
      nominalVolume: L(KEG_L),
      count: serials.length,
      documentedCount: serials.length + 1,
      lotMark: `W-${month} (invented)`,
      declaredStrength: percent(4.5),
      dispense: 'draught-connector',
      serials,
    },
    strength: percent(4.52),
    expandedUncertainty: percent(0.1),
    coverageFactor: 2,
    occurredAt: at,
  });
  ctx.did('main', at);
  tally.add(premisesId, month, 'received-suspended', BigInt(serials.length) * micro(KEG_L));
  const kegs = { packagedLotId: received.packagedLotId, premisesId: site.premises.main };
  const moved = async (kind: string, when: string, more: object): Promise<string> => {
    ctx.did('main', when);
    return (await api.post<Movement>('/v1/movements', { kind, ...kegs, ...more, occurredAt: when })).id;
  };
  const soldAt = yield [2, '11:00'];
  const counterparty = 'Bar B (invented)';
  const releaseId = await moved('release', soldAt, { serials, counterparty });
  tally.add(premisesId, month, 'released', -BigInt(serials.length) * micro(KEG_L));
  const back = { serials: [serials[1]], dutyStatus: 'paid' };
  const backAt = yield [6, '11:00'];
  const returnId = await moved('return', backAt, { ...back, counterparty, returnOf: releaseId });
  tally.add(premisesId, month, 'returned', micro(KEG_L));
  const movementId = await moved('destruction', yield [1, '15:00'], {
    ...back,
    reasonCode: 'spoilage',
    evidence: { method: 'poured off, two people present', approval: ctx.paper('APPR'), claim: ctx.paper('CLAIM') },
    witness: 'Witness W (invented)',
  });
  const { packagedLotId = '' } = received;
  const place = { ...ctx.inPeriod('main', at), packagedLotId };
  ctx.mark('spoiltPaid', { ...place, receiptId: received.id, releaseId, returnId, movementId });
};

/** The proof of a dispatch says that fewer were accepted: one comes back, one is lost on the way. */
export const shortArrival: Incident = async function* ({ ctx, store }) {
  const at = yield [19, '12:00'];
  if (ctx.places.suspended === undefined || ctx.places.shortArrival !== undefined) return;
  const { movementId } = ctx.places.suspended;
  const sent = await ctx.api.get<Movement>(`/v1/movements/${movementId}`);
  const goods = ctx.goods.find(
    ({ packagedLotId, premises }) => packagedLotId === sent.packagedLotId && premises === 'main',
  );
  if (goods === undefined || sent.count === undefined || sent.count < 3) return;
  const proof = { proof: ctx.paper('PROOF'), arrivedCount: sent.count - 2, refusedCount: 1 };
  await ctx.api.post(`/v1/movements/${movementId}/proof`, proof);
  const { counterparty } = sent;
  const { id: returnId } = await store.move(goods, 'return', 1, at, { counterparty, returnOf: movementId });
  const { id: lossId } = await ctx.api.post<Movement>('/v1/movements', {
    kind: 'transit-loss',
    lostFrom: movementId,
    count: 1,
    reasonCode: 'breakage',
    evidence: { document: sent.evidence.document },
    occurredAt: at,
  });
  goods.out -= 1;
  ctx.did('main', at);
  const place = ctx.inPeriod('main', at);
  ctx.tally.add(place.premisesId, place.month, 'dispatched-suspended', goods.nominal);
  ctx.mark('shortArrival', { ...place, movementId, returnId, lossId });
};
