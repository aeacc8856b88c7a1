import type { Part } from '../agenda.js';
import type { Cellar } from '../cellar.js';
import type { Batch, Context, PremisesName, Supply } from '../context.js';
import type { Dice } from '../dice.js';

export interface FermentPlan {
  readonly premises: PremisesName;
  readonly recipe: 'house' | 'strong' | 'ale' | 'flavoured';
  readonly volumeL: number;
  /** Another sugar or malt than the one in use. */
  readonly supply?: Supply;
  /** Cropped before it is finished. */
  readonly crop?: boolean;
  /** What the charge should have said; found out after its month was closed. */
  readonly mischargedL?: number;
}

/** First and last gravity in half degrees, days of fermentation, material and kilograms to a litre. */
const KINDS = {
  house: { first: [1.036, 1.046], last: [0.9965, 0.9985], days: [10, 15], of: 'sugar', kgPerL: 0.1 },
  flavoured: { first: [1.036, 1.044], last: [0.9965, 0.9985], days: [10, 14], of: 'sugar', kgPerL: 0.1 },
  strong: { first: [1.084, 1.094], last: [0.9945, 0.9965], days: [16, 21], of: 'sugar', kgPerL: 0.235 },
  ale: { first: [1.044, 1.054], last: [1.009, 1.0125], days: [7, 10], of: 'malt', kgPerL: 0.18 },
} as const;

/** Marks stand half a degree apart. */
const read = (dice: Dice, [least, most]: readonly [number, number]): number =>
  dice.whole(Math.round(least * 2000), Math.round(most * 2000)) / 2000;
const toTenth = (value: number): number => Math.round(value * 10) / 10;

/** From the plan to the finding of record, in the fermenter. */
export async function* ferment(
  ctx: Context,
  cellar: Cellar,
  dice: Dice,
  from: string,
  plan: FermentPlan,
): Part<{ batch: Batch; at: string }> {
  const kind = KINDS[plan.recipe];
  const { premises } = plan;
  const instrument = plan.recipe === 'ale' ? 'second' : 'first';
  const found = yield* ctx.vessel(premises, 'fermenter', from);
  const lot = await cellar.lot(premises, plan.recipe);
  let at = yield [0, '09:00'];
  const original = read(dice, kind.first);
  const first = await cellar.gravity(lot.id, at, original, instrument, dice.percent(5));
  if (first.flags.some(({ code }) => code.includes('calibration'))) {
    const where = { instrumentId: ctx.site.instruments[instrument], readingId: first.id, lotId: lot.id };
    ctx.mark('lapsedCalibration', { ...ctx.inPeriod(premises, at), ...where });
  }
  at = yield [0, '10:30'];
  const supply = plan.supply ?? ctx.supply(premises, kind.of);
  const kg = toTenth(plan.volumeL * kind.kgPerL);
  const batch = await cellar.charge(lot, found.vessel, at, plan.volumeL, [{ of: supply, kg }]);
  const last = read(dice, kind.last);
  const halfway = Math.round((last + 0.3 * (original - last)) * 2000) / 2000;
  const days = dice.whole(kind.days[0], kind.days[1]);
  const toMonthEnd = daysLeft(ctx, at);
  const overMonthEnd = toMonthEnd >= 2 && toMonthEnd < days;
  let gone = overMonthEnd ? toMonthEnd : 3;
  if (overMonthEnd) {
    at = yield [gone, '17:00'];
    await cellar.gravity(lot.id, at, halfway, instrument);
    await cellar.finding(batch, at, { standing: 'provisional' });
    if (plan.mischargedL !== undefined) {
      at = yield [5, '12:00'];
      gone += 5;
      const { operations } = await cellar.differ(batch, batch.chargeId, plan.mischargedL, at);
      const put = { operationId: batch.chargeId, correctionId: operations[0].operationId };
      ctx.mark('earlierDifference', { ...ctx.inPeriod(premises, at), ...put });
    }
  } else {
    at = yield [gone, '09:00'];
    await cellar.gravity(lot.id, at, halfway, instrument);
  }
  at = yield [Math.max(1, days - gone), '09:00'];
  await cellar.gravity(lot.id, at, last, instrument);
  if (plan.crop === true) {
    await cellar.finding(batch, at, { standing: 'provisional' });
    at = yield [0, '09:30'];
    const materialLotId = await cellar.crop(batch, at, 4);
    ctx.mark('yeastCrop', { ...ctx.inPeriod(premises, at), materialLotId, lotId: lot.id });
  }
  at = yield [0, '10:00'];
  await cellar.gauge(batch, at, toTenth(batch.litres * dice.decimal(0.982, 0.992, 3)));
  at = yield [0, '10:30'];
  await cellar.finding(batch, at);
  ctx.fermented.set(batch.lotId, batch);
  return { batch, at };
}

/** Days until the last day of the month. */
function daysLeft(ctx: Context, at: string): number {
  const [day] = ctx.calendar.words(at).split(' ');
  return ctx.calendar.lastDay(ctx.monthOf(at)) - Number(day.slice(8));
}
