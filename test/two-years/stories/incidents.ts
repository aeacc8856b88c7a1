import type { Finding } from '../../../src/production/measuring/findings/findings.dto.js';
import type { ReversalAnswer } from '../../../src/ledger/corrections/corrections.dto.js';
import type { Story } from '../agenda.js';
import type { Context, Goods } from '../context.js';
import type { Dice } from '../dice.js';
import { calibrate } from '../site.js';
import { ferment } from './ferment.js';
import type { Hands, LotStory } from './lots.js';
import { pack, rack, toMarket } from './lots.js';

export type Incident = (hands: Hands, dice: Dice) => Story;

const L = (value: number) => ({ value, unit: 'L' });

/** Goods at the main premises of which enough is there, the fullest shelf first. */
function onShelf(
  ctx: Context,
  container: Goods['container'],
  least: number,
  also: (goods: Goods) => boolean = () => true,
) {
  return ctx.goods
    .filter(
      (goods) => goods.premises === 'main' && goods.container === container && goods.onHand >= least && also(goods),
    )
    .toSorted((a, b) => b.onHand - a.onHand)
    .at(0);
}

/** A laboratory's value comes when some of the lot is packed and gone. */
export const laboratory: Incident = async function* ({ ctx }, dice) {
  const at = yield [14, '12:00'];
  const goods = onShelf(ctx, 'bottle', 60, ({ out, lotId }) => out > 0 && ctx.fermented.has(lotId));
  const before = goods === undefined ? undefined : ctx.fermented.get(goods.lotId);
  if (goods === undefined || before === undefined) return;
  const value = Math.round((before.strength + dice.decimal(-0.12, 0.12, 2)) * 100) / 100;
  const finding = await ctx.api.post<Finding>(`/v1/lots/${goods.lotId}/findings`, {
    method: 'certificate',
    compositionId: goods.compositionId,
    certificate: {
      strength: { value, unit: '%' },
      expandedUncertainty: { value: 0.08, unit: '%' },
      coverageFactor: 2,
      number: ctx.paper('LAB'),
      laboratory: 'Laboratory L (invented)',
    },
    occurredAt: at,
  });
  ctx.did('main', at);
  const { lotId, packagedLotId } = goods;
  ctx.mark('laboratory', { ...ctx.inPeriod('main', at), lotId, findingId: finding.id, packagedLotId });
};

/** A release of a closed month had the wrong count: reversed and entered again, both on the line of earlier periods. */
export const earlierCorrection: Incident = async function* ({ ctx, store }) {
  const at = yield [9, '12:00'];
  const month = ctx.monthOf(at);
  const goods = ctx.goods.find(
    ({ premises, lastRelease }) =>
      premises === 'main' &&
      lastRelease !== undefined &&
      lastRelease.count > 6 &&
      ctx.monthOf(lastRelease.at) === month - 1,
  );
  if (goods?.lastRelease === undefined) return;
  const { id: operationId, count } = goods.lastRelease;
  const correction = await store.correctEarlier(goods, operationId, count, count - 6, at);
  ctx.mark('earlierCorrection', { ...ctx.inPeriod('main', at), operationId, correctionId: correction.id });
};

/** Entered twice, and the second entry reversed; but it had happened twice, so the reversal is reversed. */
export const reversedReversal: Incident = async function* ({ ctx, store }) {
  const at = yield [11, '12:00'];
  const goods = onShelf(ctx, 'bottle', 24);
  if (goods === undefined) return;
  const { id } = await store.move(goods, 'release', 6, at);
  const reverse = (operationId: string, reasonCode: string) =>
    ctx.api.post<ReversalAnswer>(`/v1/operations/${operationId}/reversal`, { reasonCode });
  const first = await reverse(id, 'entered-twice');
  await reverse(first.operationId, 'did-not-happen');
  ctx.mark('reversedReversal', { ...ctx.inPeriod('main', at), operationId: id, reversalId: first.operationId });
};

/** Stolen from the yard overnight. */
export const theft: Incident = async function* ({ ctx, store }) {
  const at = yield [12, '07:00'];
  const goods = onShelf(ctx, 'bottle', 24);
  if (goods === undefined) return;
  const evidence = { report: ctx.paper('POLICE') };
  const { id } = await store.move(goods, 'theft', 18, at, {
    reasonCode: 'theft',
    evidence,
    investigatedBy: ctx.site.people[0],
    personId: ctx.site.people[0],
  });
  ctx.mark('theft', { ...ctx.inPeriod('main', at), movementId: id });
};

/** A keg filled into bottles. */
export const repacking: Incident = async function* (hands, dice) {
  const { ctx, store } = hands;
  const at = yield [15, '10:00'];
  const goods = onShelf(ctx, 'keg', 2);
  if (goods === undefined) return;
  const made = await store.repack(goods, 1, 0.5, at);
  toMarket(hands, dice, made.goods, at);
  ctx.mark('repacking', { ...ctx.inPeriod('main', at), operationId: made.id });
};

/** Some bottles get another label. */
export const relabelling: Incident = async function* (hands, dice) {
  const { ctx, store } = hands;
  const at = yield [16, '10:00'];
  const goods = onShelf(ctx, 'bottle', 48);
  if (goods === undefined) return;
  const made = await store.relabel(goods, 24, Math.round((goods.declared - 0.1) * 10) / 10, at);
  toMarket(hands, dice, made.goods, at);
  ctx.mark('relabelling', { ...ctx.inPeriod('main', at), operationId: made.id });
};

/** Bottles that came back are opened and packed again. */
export const rework: Incident = async function* (hands, dice) {
  const { ctx, store, cellar } = hands;
  const found = yield* ctx.vessel('main', 'mixing-tank', yield [17, '10:00']);
  const goods = onShelf(ctx, 'bottle', 100);
  if (goods === undefined) {
    ctx.released(found.vessel);
    return;
  }
  const lot = await cellar.lot('main', 'house');
  const at = found.at;
  const batch = await store.rework(goods, 90, lot, found.vessel, at);
  ctx.mark('rework', { ...ctx.inPeriod('main', at), operationId: batch.chargeId, lotId: lot.id });
  yield* pack(hands, dice, batch);
};

/** A keg comes back part full; what is in it is measured and poured off. */
export const partFull: Incident = async function* ({ ctx, store }) {
  const at = yield [18, '10:00'];
  const goods = ctx.goods.find(({ premises, container, out }) => premises === 'main' && container === 'keg' && out > 0);
  if (goods === undefined) return;
  await store.partFull(goods, 4.2, at);
};

/** A hose bursts at a bright tank. */
export const hose: Incident = async function* ({ ctx, store }) {
  const at = yield [13, '15:00'];
  const batch = [...ctx.batches].find(({ vessel, litres }) => vessel.kind === 'bright-tank' && litres > 50);
  if (batch !== undefined) await store.draw(batch, 'accidental-loss', 2.5, at, { reasonCode: 'leak' });
};

/** The second hydrometer is calibrated again, late. */
export const calibration: Incident = async function* ({ ctx }) {
  yield [15, '12:00'];
  const { api, calendar, site } = ctx;
  const [performedOn, validUntil] = [calendar.dayFromStart(318), calendar.monthStart(36)];
  await calibrate(api, site.instruments.second, performedOn, validUntil, 'CAL-3');
};

/** A malt lot goes sour in the fermenter and is poured off before a witness. */
export const spoiled: LotStory = async function* ({ ctx, cellar, store }, dice, from) {
  const found = yield* ctx.vessel('main', 'fermenter', from);
  const lot = await cellar.lot('main', 'ale');
  await cellar.gravity(lot.id, yield [0, '09:00'], 1.048, 'second');
  const chargedAt = yield [0, '10:30'];
  const used = [{ of: ctx.supply('main', 'malt'), kg: 40 }];
  const batch = await cellar.charge(lot, found.vessel, chargedAt, dice.whole(180, 220), used);
  const at = yield [6, '09:00'];
  await cellar.gravity(lot.id, at, 1.014, 'second');
  await cellar.finding(batch, at, { standing: 'provisional' });
  const pouredAt = yield [0, '15:00'];
  const evidence = { method: 'poured off, two people present', report: ctx.paper('DEST') };
  const more = { reasonCode: 'spoilage', evidence, witness: 'Witness W (invented)' };
  const { id } = await store.draw(batch, 'destruction', batch.litres, pouredAt, more);
  ctx.emptied(batch);
  ctx.mark('destroyedLot', { ...ctx.inPeriod('main', pouredAt), movementId: id, lotId: lot.id });
};

/** A gauge was misread; found out after racking, so only the difference is entered. */
export const misgauged: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, { premises: 'main', recipe: 'house', volumeL: 200 });
  const gauged = batch.litres;
  const { gaugeId } = batch;
  yield* rack(hands, dice, batch, at);
  const later = yield [1, '09:00'];
  const { operations } = await cellar.differ(batch, gaugeId, gauged - 1.5, later);
  const put = { operationId: gaugeId, correctionId: operations[0].operationId };
  ctx.mark('difference', { ...ctx.inPeriod('main', later), ...put });
  yield* pack(hands, dice, batch);
};

/** A charge of the month that has been closed since was misread; found out while it still ferments. */
export const mischarged: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const plan = { premises: 'main', recipe: 'strong', volumeL: 110, mischargedL: 108 } as const;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, plan);
  yield* rack(hands, dice, batch, at);
  const next = yield [1, '09:00'];
  await cellar.dilute(batch, next, 5);
  yield* pack(hands, dice, batch);
};

/** Fresh wash onto a heel that was left in the fermenter. */
export const heel: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar, store } = hands;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, { premises: 'main', recipe: 'house', volumeL: 160 });
  const count = 3;
  const kegs = await store.pack(batch, at, { container: 'keg', nominalL: 30, count, lossL: 0.5 });
  toMarket(hands, dice, kegs, at);
  const pitched = yield [1, '11:00'];
  const lot = await cellar.lot('main', 'blend');
  const wash = {
    volume: L(120),
    gravity: { value: 1.042, scale: 'sg-20-20' },
    temperature: { value: 20, unit: 'Cel' },
  };
  const mixed = await cellar.blend(lot, batch.vessel, pitched, [{ batch }], { wash });
  ctx.mark('heel', { ...ctx.inPeriod('main', pitched), lotId: lot.id });
  const done = yield [9, '09:00'];
  await cellar.gauge(mixed, done, Math.round(mixed.litres * 9.88) / 10);
  const certificate = {
    strength: { value: 5.1, unit: '%' },
    expandedUncertainty: { value: 0.1, unit: '%' },
    coverageFactor: 2,
  };
  const foundAt = yield [0, '10:00'];
  await cellar.finding(mixed, foundAt, { method: 'certificate', certificate });
  yield* rack(hands, dice, mixed, foundAt);
  yield* pack(hands, dice, mixed);
};
