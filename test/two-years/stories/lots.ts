import { Temporal } from 'temporal-polyfill';
import type { Part, Story } from '../agenda.js';
import type { Cellar } from '../cellar.js';
import type { Batch, Context, Goods } from '../context.js';
import { toMicrolitre } from '../context.js';
import type { Dice } from '../dice.js';
import type { Filling, Store } from '../store.js';
import { ferment } from './ferment.js';
import { sell } from './sell.js';

/** The hands that every story works with. */
export interface Hands {
  readonly ctx: Context;
  readonly cellar: Cellar;
  readonly store: Store;
}

export type LotStory = (hands: Hands, dice: Dice, from: string) => Story;

const BOTTLE_L = 0.33;
const KEG_L = 30;

/** What is packed goes its own way from the next minute on. */
export function toMarket({ ctx, store }: Hands, dice: Dice, goods: Goods, at: string): void {
  const soon = Temporal.Instant.from(at).add({ minutes: 1 }).toString();
  ctx.agenda.add(soon, sell(ctx, store, dice.of(goods.container), goods));
}

/** Racked off the yeast; what is lost stays behind. */
export async function* rack({ ctx, cellar }: Hands, dice: Dice, batch: Batch, from: string): Part<string> {
  const { vessel, at } = yield* ctx.vessel(batch.vessel.premises, 'bright-tank', from);
  await cellar.transfer(batch, vessel, at, dice.decimal(1.5, 4, 1));
  return at;
}

/** Some kegs and the rest in bottles, or bottles only; the fill of the run was checked. */
export async function* pack(hands: Hands, dice: Dice, batch: Batch, more: Filling['more'] = {}): Part<Goods> {
  const { store } = hands;
  if (dice.percent(45) && batch.litres > 3 * KEG_L) {
    const kegsAt = yield [1, '09:00'];
    const count = dice.whole(1, Math.floor((batch.litres * 0.6) / KEG_L));
    const lossL = dice.decimal(0.2, 0.9, 1);
    const kegs = await store.pack(batch, kegsAt, { container: 'keg', nominalL: KEG_L, count, lossL });
    toMarket(hands, dice, kegs, kegsAt);
  }
  const at = yield [1, '10:00'];
  const fillL = dice.decimal(0.3296, 0.3306, 4);
  const count = Math.floor((batch.litres - dice.decimal(0.4, 2, 1)) / fillL);
  const meanFill = { value: fillL, unit: 'L' };
  const run = { container: 'bottle', nominalL: BOTTLE_L, count, more: { meanFill, ...more } } as const;
  const bottles = await store.pack(batch, at, run);
  toMarket(hands, dice, bottles, at);
  return bottles;
}

/** Sugar, fermented dry, fined and packed. */
export const house: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const plan = { premises: 'main', recipe: 'house', volumeL: dice.whole(180, 280) } as const;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, plan);
  yield* rack(hands, dice, batch, at);
  if (dice.percent(40)) {
    const next = yield [1, '09:00'];
    const fining = ctx.supply('main', 'fining').id;
    await cellar.add(batch, next, { purpose: 'fining', materialLotId: fining, mass: { value: 20, unit: 'g' } });
  }
  yield* pack(hands, dice, batch);
};

/** The same with sugar for the bottles, which ferments in them. */
export const conditioned: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const plan = { premises: 'main', recipe: 'house', volumeL: dice.whole(150, 220) } as const;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, plan);
  yield* rack(hands, dice, batch, at);
  const goods = yield* pack(hands, dice, batch, { conditioning: { sugar: 'sucrose', gramsPerLitre: 5 } });
  const packedAt = yield [0, '17:00'];
  ctx.mark('conditioned', { ...ctx.inPeriod('main', packedAt), packagedLotId: goods.packagedLotId });
};

/** Fruit flavouring with alcohol of its own into a dry ferment. */
export const flavoured: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const plan = { premises: 'main', recipe: 'flavoured', volumeL: dice.whole(160, 260) } as const;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, plan);
  yield* rack(hands, dice, batch, at);
  yield* flavour(hands, batch);
  yield* pack(hands, dice, batch);
};

async function* flavour({ ctx, cellar }: Hands, batch: Batch): Part<void> {
  const at = yield [1, '11:00'];
  const volumeL = Math.round(batch.litres * 10) / 1000;
  const supply = ctx.supply('main', 'flavouring', volumeL);
  supply.left = toMicrolitre(supply.left - volumeL);
  await cellar.add(batch, at, {
    purpose: 'flavouring',
    materialLotId: supply.id,
    volume: { value: volumeL, unit: 'L' },
  });
}

/** Malt; some of it cropped for the next, some lost in filtering. */
export const ale: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar, store } = hands;
  const plan = { premises: 'main', recipe: 'ale', volumeL: dice.whole(180, 280), crop: dice.percent(30) } as const;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, plan);
  yield* rack(hands, dice, batch, at);
  if (dice.percent(35)) {
    const next = yield [1, '14:00'];
    await store.draw(batch, dice.pick(['filtering-loss', 'evaporation', 'sample']), dice.decimal(0.2, 0.8, 1), next);
  }
  yield* pack(hands, dice, batch);
};

/** Fermented strong and let down with water to the label. */
export const strong: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const plan = { premises: 'main', recipe: 'strong', volumeL: dice.whole(90, 110) } as const;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, plan);
  yield* rack(hands, dice, batch, at);
  const next = yield [1, '09:00'];
  await cellar.dilute(batch, next, dice.pick([4.5, 5, 5.5]));
  yield* pack(hands, dice, batch);
};

/** Spirit, water and a little flavouring. */
export const mixed: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const { vessel, at } = yield* ctx.vessel('main', 'mixing-tank', from);
  const lot = await cellar.lot('main', 'mixed');
  const litres = dice.whole(8, 13);
  const batch = await cellar.spirit(
    lot,
    vessel,
    at,
    ctx.supply('main', 'spirit', litres),
    litres,
    dice.pick([4.8, 5, 5.2]),
  );
  if (dice.percent(50)) {
    yield* flavour(hands, batch);
  }
  yield* pack(hands, dice, batch);
};

/** One ferment becomes two lots: one plain, one flavoured. */
export const split: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const plan = { premises: 'main', recipe: 'house', volumeL: dice.whole(220, 290) } as const;
  const done = yield* ferment(ctx, cellar, dice, from, plan);
  const { vessel } = yield* ctx.vessel('main', 'bright-tank', done.at);
  const at = yield [1, '08:30'];
  const lot = await cellar.lot('main', 'flavoured');
  const part = await cellar.split(done.batch, lot, vessel, at, Math.floor(done.batch.litres / 2));
  ctx.mark('split', { ...ctx.inPeriod('main', at), lotId: done.batch.lotId, newLotId: lot.id });
  ctx.agenda.add(at, finishFlavoured(hands, dice.of('part'), part));
  yield* pack(hands, dice, done.batch);
};

async function* finishFlavoured(hands: Hands, dice: Dice, batch: Batch): Story {
  yield* flavour(hands, batch);
  yield* pack(hands, dice, batch);
}

/** Two ferments into one lot. */
export const blend: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const of = (volumeL: number) => ({ premises: 'main', recipe: 'house', volumeL }) as const;
  const one = yield* ferment(ctx, cellar, dice, from, of(dice.whole(100, 150)));
  const other = yield* ferment(ctx, cellar, dice, yield [1, '08:00'], of(dice.whole(100, 150)));
  const { vessel } = yield* ctx.vessel('main', 'mixing-tank', other.at);
  const at = yield [1, '09:00'];
  const lot = await cellar.lot('main', 'blend');
  const blended = await cellar.blend(lot, vessel, at, [{ batch: one.batch }, { batch: other.batch }]);
  yield* pack(hands, dice, blended);
};

/** A blend of a ferment and a drink from spirit, most of which is blended once more with a third lot; both are packed. */
export const blendOfBlends: LotStory = async function* (hands, dice, from) {
  const { ctx, cellar } = hands;
  const of = (volumeL: number) => ({ premises: 'main', recipe: 'house', volumeL }) as const;
  const ferment_ = yield* ferment(ctx, cellar, dice, from, of(dice.whole(120, 160)));
  const tank = yield* ctx.vessel('main', 'mixing-tank', ferment_.at);
  const mixedLot = await cellar.lot('main', 'mixed');
  const at = yield [1, '09:00'];
  const spirit = await cellar.spirit(mixedLot, tank.vessel, at, ctx.supply('main', 'spirit', 5), 5, 5);
  const first = yield* ctx.vessel('main', 'mixing-tank', at);
  const firstLot = await cellar.lot('main', 'blend');
  const firstAt = yield [1, '09:00'];
  const firstBlend = await cellar.blend(firstLot, first.vessel, firstAt, [
    { batch: ferment_.batch },
    { batch: spirit },
  ]);
  const third = yield* ferment(ctx, cellar, dice, yield [1, '08:00'], of(dice.whole(80, 120)));
  const second = yield* ctx.vessel('main', 'mixing-tank', third.at);
  const secondLot = await cellar.lot('main', 'blend');
  const secondAt = yield [1, '09:00'];
  const secondBlend = await cellar.blend(secondLot, second.vessel, secondAt, [
    { batch: firstBlend, volumeL: 100 },
    { batch: third.batch },
  ]);
  ctx.agenda.add(secondAt, packAll(hands, dice.of('first'), firstBlend));
  const goods = yield* pack(hands, dice, secondBlend);
  const lots = { lotId: secondLot.id, blendLotId: firstLot.id, packagedLotId: goods.packagedLotId };
  ctx.mark('blendOfBlends', { ...ctx.inPeriod('main', secondAt), ...lots });
};

async function* packAll(hands: Hands, dice: Dice, batch: Batch): Story {
  yield* pack(hands, dice, batch);
}
