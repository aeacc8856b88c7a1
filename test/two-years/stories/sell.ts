import type { Part, Story } from '../agenda.js';
import type { Context, Goods } from '../context.js';
import type { Dice } from '../dice.js';
import type { Store } from '../store.js';

const TIMES = ['09:20', '11:10', '13:40', '15:30'] as const;

/** A packaged lot until nothing of it is left: mostly released, some of it by every other way out. */
export async function* sell(ctx: Context, store: Store, dice: Dice, goods: Goods): Story {
  const rounds = goods.container === 'keg' ? 2 : dice.whole(2, 4);
  for (let round = 1; round <= rounds && goods.onHand > 0; round += 1) {
    const due = yield [dice.whole(2, 13), dice.pick(TIMES)];
    const at = yield* ctx.openDay(goods.premises, due);
    if (goods.onHand === 0) return;
    const part = Math.ceil(goods.onHand * dice.decimal(0.3, 0.6, 2));
    await leave(ctx, store, dice, goods, round === rounds ? goods.onHand : part, at);
    if (dice.percent(18)) {
      yield* aside(ctx, store, dice, goods);
    }
  }
}

/** One movement of so many containers. */
async function leave(ctx: Context, store: Store, dice: Dice, goods: Goods, count: number, at: string): Promise<void> {
  const throw_ = dice.whole(1, 100);
  const place = ctx.inPeriod(goods.premises, at);
  if (throw_ <= 10 && goods.premises === 'main') {
    const evidence = { document: ctx.paper('SUSP') };
    const { id } = await store.move(goods, 'dispatch-suspended', count, at, { counterparty: WAREHOUSE, evidence });
    ctx.mark('suspended', { ...place, movementId: id });
  } else if (throw_ <= 18 && goods.premises === 'main') {
    const evidence = { document: ctx.paper('EXP'), proof: ctx.paper('PROOF') };
    const { id } = await store.move(goods, 'export', count, at, { counterparty: 'Importer D (invented)', evidence });
    ctx.mark('export', { ...place, movementId: id, packagedLotId: goods.packagedLotId });
  } else if (throw_ <= 22 && count > 12) {
    await store.moveMistaken(goods, 'release', count - 6, count, at);
  } else {
    await store.move(goods, 'release', count, at, { counterparty: dice.pick(CUSTOMERS) });
  }
}

const WAREHOUSE = 'Warehouse W (invented)';
const CUSTOMERS = ['Shop A (invented)', 'Bar B (invented)', 'Wholesaler C (invented)'] as const;

/** Some few of them, by a way of their own. */
async function* aside(ctx: Context, store: Store, dice: Dice, goods: Goods): Part<void> {
  const at = yield* ctx.openDay(goods.premises, yield [1, '16:00']);
  const few = Math.min(goods.onHand, goods.container === 'keg' ? 1 : dice.whole(1, 6));
  const place = ctx.inPeriod(goods.premises, at);
  const kind = dice.pick(['sample', 'own-use', 'destruction', 'accidental-loss', 'return'] as const);
  if (kind === 'return' && goods.lastRelease !== undefined) {
    const back = goods.container === 'keg' ? 1 : Math.min(goods.lastRelease.count, 6);
    const { id } = await store.move(goods, 'return', back, at, { counterparty: CUSTOMERS[0] });
    ctx.mark('returned', { ...place, movementId: id, packagedLotId: goods.packagedLotId });
  } else if (few === 0) {
    return;
  } else if (kind === 'sample' || kind === 'own-use') {
    await store.move(goods, kind, few, at);
  } else if (kind === 'destruction') {
    const evidence = { method: 'poured off, two people present' };
    await store.move(goods, kind, few, at, { reasonCode: 'past-date', evidence, witness: 'Witness W (invented)' });
  } else if (kind === 'accidental-loss') {
    await store.move(goods, kind, few, at, { reasonCode: 'breakage' });
  }
}
