import type { Story } from '../agenda.js';
import { NIL_MONTH } from '../context.js';
import type { Dice } from '../dice.js';
import { ferment } from './ferment.js';
import type { Hands, LotStory } from './lots.js';
import { toMarket } from './lots.js';

/** A small ferment into a serving tank, and by the glass until it is empty. */
export const served: LotStory = async function* ({ ctx, cellar, store }, dice, from) {
  const plan = { premises: 'second', recipe: 'house', volumeL: dice.whole(50, 85) } as const;
  const { batch, at } = yield* ferment(ctx, cellar, dice, from, plan);
  const tank = yield* ctx.vessel('second', 'serving-tank', at);
  await cellar.transfer(batch, tank.vessel, tank.at, dice.decimal(0.5, 1.5, 1));
  const declaredStrength = { value: Math.round(batch.strength * 10) / 10, unit: '%' };
  while (batch.litres > 0) {
    const served = yield* ctx.openDay('second', yield [2, '23:00']);
    const glasses = Math.min(batch.litres, dice.whole(40, 70) / 2);
    await store.draw(batch, 'own-use', glasses, served, { declaredStrength });
  }
  ctx.emptied(batch);
};

/** Once a month some of what the main premises have goes to the second ones; now and then it is on the way when the month ends. */
export async function* transits(hands: Hands, dice: Dice): Story {
  const { ctx, store } = hands;
  let at = yield [ctx.calendar.lastDay(0) - 2, '12:00'];
  for (let month = 0; month < ctx.months; month += 1) {
    const chosen = ctx.goods.filter(({ premises, onHand }) => premises === 'main' && onHand >= 2);
    if (month !== NIL_MONTH && chosen.length > 0) {
      const goods = dice.pick(chosen);
      const count = goods.container === 'keg' ? 2 : Math.min(goods.onHand, 48);
      const sent = await store.send(goods, count, 'second', at);
      // Before the month in which nothing is to happen there, it arrives within the month.
      const days = month === NIL_MONTH - 1 ? 1 : dice.whole(1, 4);
      const before = ctx.inPeriod('main', at);
      at = yield [days, '10:00'];
      const broken = count > 10 && dice.percent(25) ? 2 : 0;
      const there = await store.arrive(goods, sent, count - broken, 'second', at);
      toMarket(hands, dice.of(`transit ${month}`), there, at);
      if (ctx.monthOf(at) !== before.month) ctx.mark('overTheMonthEnd', { ...before, transitId: sent.id });
      if (broken > 0) ctx.mark('lostOnTheWay', { ...ctx.inPeriod('main', at), transitId: sent.id });
    }
    at = yield [daysTo(ctx.calendar.at(month + 1, ctx.calendar.lastDay(month + 1) - 1, '12:00'), at), '12:00'];
  }
}

const DAY_MS = 86_400_000;
const daysTo = (later: string, at: string): number => Math.round((Date.parse(later) - Date.parse(at)) / DAY_MS);
