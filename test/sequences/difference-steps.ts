import type { Dice, Wish } from './dice.js';
import type { Driver } from './driver.js';
import type { Model } from './model.js';
import type { Json } from './request-parts.js';
import { litres, percent } from './request-parts.js';
import type { Differ } from './step.js';
import { d } from './words.js';

// Values of earlier operations that are put right without reversing.

/** One client at a time puts values right. */
export const DIFFERENCES = 'differences';

/** Later in a sequence, when something rests on what was entered: they stand at the end of the books. */
const FROM_HOUR = 400;

export function differenceSteps(model: Model, dice: Dice, now: number, besides: ReadonlySet<string>): Wish[] {
  if (besides.has(DIFFERENCES)) return [];
  const wrong = model.operations.flatMap(({ name }) => wrongOf(model, dice, name));
  if (wrong.length === 0) return [];
  const likely = wrong.filter(({ operation }) => !model.isReversed(operation));
  const make = (): Differ => dice.pick(likely.length > 0 && dice.is(0.95) ? likely : wrong);
  return [[now < FROM_HOUR ? 0.4 : 4, make]];
}

/** Near what was entered, with few places, so that no share of the change lies on the edge of the books' last place. */
const near = (dice: Dice, was: string): string => {
  const change = dice.pick(['0.01', '0.7', '-0.3', '2.25', '-1.5', '8', '-12', '0']);
  const right = d(was).plus(change);
  return right.greaterThan(0) ? right.toFixed() : d(was).plus(1).toFixed();
};

/** Of mixtures whose litres were put right it is not modelled how much of those a spirit in them has. */
const hasVolumePutRight = (model: Model): boolean =>
  model.posted.some(({ name }) => {
    const entry = model.stepOf(name);
    return entry?.kind === 'differ' && entry.value !== 'strength';
  });

function wrongOf(model: Model, dice: Dice, operation: string): Differ[] {
  const entry = model.stepOf(operation);
  const one = (value: Differ['value'], right: string, item?: Differ['item']): Differ => ({
    kind: 'differ',
    operation,
    ...(item === undefined ? {} : { item }),
    value,
    right,
  });
  switch (entry?.kind) {
    case 'charge':
    case 'gauge':
      return [one(dice.is(0.95) ? 'volume' : 'loss', near(dice, entry.litres))];
    case 'receipt':
      return [
        one('volume', near(dice, entry.litres)),
        ...(hasVolumePutRight(model) ? [] : [one('strength', dice.is(0.8) ? dice.litres(30, 96, 1) : entry.strength)]),
      ];
    case 'transfer':
      return [
        one(
          'loss',
          dice.pick(['0', '0.25', d(entry.loss).plus(0.1).toFixed(), entry.litres, near(dice, entry.litres)]),
        ),
      ];
    case 'opening':
      return [
        one('count', String(entry.packaged.count + dice.pick([-3, -1, 0, 2, -200])).replace('-', ''), 'packed'),
        ...(entry.liquid === undefined ? [] : [one('volume', near(dice, entry.liquid.litres), 'liquid')]),
      ];
    case 'pack':
      // How many containers with serials there are, their serials say.
      return entry.serials === undefined
        ? [one('count', String(Math.max(0, entry.count + dice.pick([-400, -5, -1, -1, 0, 1, 1, 2, 6]))))]
        : [];
    case 'move-bulk':
    case 'rework':
      return dice.is(0.1) ? [one('volume', '1')] : [];
    case undefined:
      return dice.is(0.05) ? [one('volume', '1')] : [];
    default:
      return [];
  }
}

/** The request that a difference is. */
export function rightValue({ operation, item, value, right }: Differ, driver: Driver): Json {
  const written = { volume: litres, loss: litres, strength: percent, count: Number }[value](right);
  const of: Json =
    item === undefined
      ? {}
      : item === 'packed'
        ? { packagedLotId: driver.id(`packaged/${operation}`) }
        : { compositionId: driver.id(`composition/${operation}`) };
  return { correct: { [value]: written, ...of }, reasonCode: 'misread' };
}
