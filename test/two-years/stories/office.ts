import type { StockTake } from '../../../src/excise/movements/stock-takes/stock-takes.dto.js';
import type { Part, Story } from '../agenda.js';
import type { Context, MaterialName, PremisesName } from '../context.js';
import { NIL_MONTH } from '../context.js';
import type { Dice } from '../dice.js';
import type { Closed } from '../month-check.js';
import { closeMonth } from '../month-check.js';
import type { Hands } from './lots.js';

type WithId = { readonly id: string };

/** What comes in: how often, in months, and how much. */
const INTAKES: readonly {
  readonly material: MaterialName;
  readonly premises: PremisesName;
  readonly every: number;
  readonly amount: { readonly value: number; readonly unit: 'kg' | 'L' };
}[] = [
  { material: 'sugar', premises: 'main', every: 1, amount: { value: 300, unit: 'kg' } },
  { material: 'malt', premises: 'main', every: 1, amount: { value: 200, unit: 'kg' } },
  { material: 'spirit', premises: 'main', every: 1, amount: { value: 25, unit: 'L' } },
  { material: 'flavouring', premises: 'main', every: 2, amount: { value: 25, unit: 'L' } },
  { material: 'fining', premises: 'main', every: 12, amount: { value: 2, unit: 'kg' } },
  { material: 'sugar', premises: 'second', every: 6, amount: { value: 90, unit: 'kg' } },
];

/** The intake whose flavouring turns out to be bad. */
const SUSPECT_MONTH = 4;

/** On the first of each month, before anything else. */
export async function* purchasing(ctx: Context): Story {
  for (let month = 0; month < ctx.months; month += 1) {
    const at = ctx.calendar.at(month, 1, '07:30');
    for (const { material, premises, every, amount } of INTAKES) {
      if (month % every !== 0) continue;
      const suspect = material === 'flavouring' && month === SUSPECT_MONTH;
      const { id } = await ctx.api.post<WithId>('/v1/material-lots', {
        materialId: ctx.site.materials[material],
        premisesId: ctx.site.premises[premises],
        code: `${material.toUpperCase()}-${premises}-${month + 1}`,
        supplier: `Supplier ${material[0].toUpperCase()} (invented)`,
        supplierLot: `L${1000 + month}${suspect ? '-X' : ''}`,
        document: { number: ctx.paper('INV'), date: ctx.calendar.monthStart(month) },
        ...(amount.unit === 'kg' ? { mass: amount } : { volume: amount }),
        occurredAt: at,
      });
      if (amount.unit === 'L') ctx.did(premises, at);
      if (suspect) ctx.suspectMaterialLotId = id;
      ctx.stocked(premises, material, { id, left: amount.value });
    }
    yield [ctx.calendar.lastDay(month), '07:30'];
  }
}

/** The shelves are counted on the last evening of each month, the tanks with them every third month. */
export async function* stockTakes(ctx: Context, dice: Dice, premises: PremisesName): Story {
  let wait = ctx.calendar.lastDay(0) - 1;
  for (let month = 0; month < ctx.months; month += 1) {
    const at = yield [wait, '20:00'];
    if (!(premises === 'second' && month === NIL_MONTH)) {
      await stockTake(ctx, dice, premises, month, at);
    }
    wait = ctx.calendar.lastDay(month + 1);
  }
}

/** Every so many shelves something is missing or too much. */
const DIFFERS_PERCENT = 7;
const MOST_COUNTED = 40;

async function stockTake(ctx: Context, dice: Dice, premises: PremisesName, month: number, at: string): Promise<void> {
  const shelves = ctx.goods.filter((goods) => goods.premises === premises && goods.onHand > 0).slice(0, MOST_COUNTED);
  const found = shelves.map((goods) => {
    const differs = goods.container === 'bottle' && goods.onHand > 10 && dice.percent(DIFFERS_PERCENT);
    const count = goods.onHand + (differs ? dice.pick([-3, -2, -1, 1]) : 0);
    const reasonCode = count < goods.onHand && dice.percent(60) ? 'breakage' : undefined;
    return { goods, count, reasonCode };
  });
  const tanks =
    month % 3 === 2 ? [...ctx.batches].filter((batch) => isCounted(batch.vessel.kind, premises, batch)) : [];
  const counts = [
    ...found.map(({ goods, count, reasonCode }) => ({
      packagedLotId: goods.packagedLotId,
      count,
      reasonCode,
      ...(count === goods.onHand ? {} : { investigatedBy: ctx.site.people[0] }),
    })),
    ...tanks.map((batch) => ({
      lotId: batch.lotId,
      vesselId: batch.vessel.id,
      volume: { value: Math.round((batch.litres - 0.2) * 10) / 10, unit: 'L' },
      temperature: { value: 20, unit: 'Cel' },
      standardUncertainty: { value: 0.4, unit: 'L' },
      reasonCode: 'measuring-error',
    })),
  ];
  if (counts.length === 0) return;
  const premisesId = ctx.site.premises[premises];
  const taken = await ctx.api.post<StockTake>('/v1/stock-takes', {
    premisesId,
    counts,
    countSheet: ctx.paper('SHEET'),
    occurredAt: at,
  });
  found.forEach(({ goods, count, reasonCode }, index) => {
    const { operationId } = taken.counts[index];
    if (count !== goods.onHand && reasonCode === undefined) {
      ctx.unexplained.push({ goods, countId: operationId, missing: goods.onHand - count, premises, month });
    }
    goods.onHand = count;
    ctx.did(premises, at);
  });
  tanks.forEach((batch, index) => {
    batch.litres = taken.counts[found.length + index].counted.value;
    ctx.did(premises, at);
  });
}

const isCounted = (kind: string, premises: PremisesName, batch: { vessel: { premises: PremisesName } }): boolean =>
  batch.vessel.premises === premises && kind === 'bright-tank';

/** Each month of the premises in its turn, some days after its end; what was looked into meanwhile is entered before. */
export async function* closings(
  hands: Hands,
  premises: PremisesName,
  time: string,
  keep: (closed: Closed) => void,
): Story {
  const { ctx } = hands;
  let last: Closed | undefined;
  yield [ctx.calendar.lastDay(0) + 2, '09:00'];
  for (let month = 0; month < ctx.months; month += 1) {
    yield* explain(hands, premises, month);
    yield [0, time];
    last = await closeMonth(ctx, premises, month, last);
    keep(last);
    yield [ctx.calendar.lastDay(month + 1), '09:00'];
  }
}

/** Of what was missing without a reason some is found out: a loss of that month, entered as explaining the count. */
async function* explain({ ctx, store }: Hands, premises: PremisesName, month: number): Part<void> {
  const dice = ctx.dice.of(`explanations ${premises} ${month}`);
  for (const found of ctx.unexplained.filter((each) => each.premises === premises && each.month === month)) {
    const place = { ...ctx.inPeriod(premises, ctx.calendar.at(month, 20, '12:00')), countId: found.countId };
    if (found.missing > 0 && dice.percent(50)) {
      const { goods, missing, countId } = found;
      const at = ctx.calendar.at(month, ctx.calendar.lastDay(month), '19:00');
      const movement = await store.explain(goods, missing, countId, at);
      ctx.mark('explained', { ...place, movementId: movement.id });
    } else {
      ctx.mark('unexplained', place);
    }
  }
  yield [0, '09:30'];
}
