import type { Wish } from './dice.js';
import { Dice } from './dice.js';
import { differenceSteps } from './difference-steps.js';
import { kegSteps } from './keg-steps.js';
import type { Model } from './model.js';
import { materialSteps } from './material-steps.js';
import { anyOwner, LOTS, lotOfOwner, nearlyAlways, ofOwner, ownerOfAccount, ownerOfLot } from './owners.js';
import { packedSteps } from './packed-steps.js';
import { rightingSteps } from './righting-steps.js';
import { sampleSteps } from './sample-steps.js';
import { plainSteps } from './plain.js';
import type { Added, Gauge, MoveBulk, Pack, Step, Transfer } from './step.js';
import { percentOf } from './restated.js';
import { BULK_MOVES } from './step.js';
import { waySteps } from './way-steps.js';
import { liquid, material, VESSELS } from './words.js';

const LAST_HOUR = 1400;

/** Mark of a composition in process that another client may be using up: what it became by then would take its strength, which the model does not hold. */
export const usedUp = (composition: string): string => `used up: ${composition}`;

/**
 * A next step: mostly one that should go through, at times one that should not, dated back at times.
 *
 * @param besides compositions that another client may be finding or cropping, or using up
 */
export function nextStep(model: Model, chance: () => number, now: number, besides: ReadonlySet<string>): Step {
  const dice = new Dice(chance);
  const at = dice.is(0.25) ? dice.below(LAST_HOUR) : Math.min(LAST_HOUR, now);
  const filled = VESSELS.filter((each) => model.inVessel(each) !== undefined);
  const wishes = [
    ...startingSteps(model, dice, at, filled),
    ...(filled.length === 0 ? [] : vesselSteps(model, dice, at, filled, besides)),
    ...packedSteps(model, dice, at),
    ...materialSteps(model, dice, at),
    ...plainSteps(dice, at),
    ...waySteps(model, dice, at),
    ...kegSteps(model, dice, at),
    ...sampleSteps(model, dice, at, Math.min(LAST_HOUR, now)),
    ...differenceSteps(model, dice, now, besides),
    ...rightingSteps(model, dice, at, now),
  ];
  return dice.among(wishes);
}

function startingSteps(model: Model, dice: Dice, at: number, filled: readonly string[]): Wish[] {
  const empty = VESSELS.filter((each) => !filled.includes(each));
  const vessel = (): string => dice.pick(empty.length > 0 && dice.is(0.9) ? empty : VESSELS);
  const lot = (): string => lotOfOwner(dice, anyOwner(dice));
  const isPoor = filled.length < 2;
  const wishes: Wish[] = [
    [isPoor ? 4 : 0.8, () => ({ kind: 'charge', lot: lot(), vessel: vessel(), litres: dice.litres(1, 400, 3), at })],
    [
      model.materials.length < 2 ? 1.2 : 0.3,
      () => ({
        kind: 'receipt',
        owner: anyOwner(dice),
        duty: dice.is(0.3) ? 'paid' : 'suspended',
        litres: dice.litres(5, 60),
        strength: dice.litres(30, 96, 2),
        at,
      }),
    ],
    [
      model.posted.length === 0 ? 3 : 0.25,
      () => ({
        kind: 'opening',
        at,
        ...(dice.is(0.8)
          ? {
              liquid: {
                lot: lot(),
                vessel: vessel(),
                litres: dice.litres(20, 200),
                ...(dice.is(0.7) ? { strength: dice.litres(2, 14, 3) } : {}),
                addedShare: dice.pick(['0', '12.5', '100']),
              },
            }
          : {}),
        packaged: {
          lot: lot(),
          count: 10 + dice.below(200),
          nominal: dice.pick(['0.5', '0.33', '0.75']),
          strength: dice.litres(3, 12, 1),
        },
      }),
    ],
  ];
  const spirits = model.materials.filter((each) => model.balance(material(each)).litres.greaterThan(0));
  if (spirits.length > 0) {
    wishes.push([
      isPoor ? 2 : 0.8,
      () => {
        const owner = anyOwner(dice);
        const chosen = [
          ...new Set([0, 1].map(() => dice.pick(dice.is(0.95) ? ofOwner(model, spirits, owner) : spirits))),
        ];
        const drawnOf = chosen.map((each) => ({ material: each, litres: litresOf(model, dice, material(each)) }));
        const total = drawnOf.reduce((sum, each) => sum + Number(each.litres), 0);
        const water = dice.litres(0, total * 12);
        const into = lotOfOwner(dice, nearlyAlways(dice, ownerOfAccount(model, material(chosen[0]))));
        return { kind: 'spirit', lot: into, vessel: vessel(), spirits: drawnOf, water, at };
      },
    ]);
  }
  return wishes;
}

/** Some of what is there, at times more than that, at times all. */
function litresOf(model: Model, dice: Dice, account: string): string {
  const there = model.balance(account).litres;
  return dice.is(0.12) && !there.isZero()
    ? there.toFixed()
    : dice.litres(0.001, there.toNumber() * (dice.is(0.08) ? 1.5 : 0.6));
}

function vesselSteps(
  model: Model,
  dice: Dice,
  at: number,
  filled: readonly string[],
  besides: ReadonlySet<string>,
): Wish[] {
  const vessel = dice.pick(filled);
  const composition = String(model.inVessel(vessel));
  const lot = dice.is(0.96) ? model.lotOf(composition) : dice.pick(LOTS);
  const account = liquid(composition, vessel);
  const there = model.balance(account).litres.toNumber();
  const others = VESSELS.filter((each) => each !== vessel);
  const empty = others.filter((each) => !filled.includes(each));
  const to = dice.pick(empty.length > 0 && dice.is(0.85) ? empty : others);
  const isFinished = model.isFinished(composition);
  // It would be used up while another client finds its strength.
  if (!isFinished && besides.has(composition)) return [];
  const wishes: Wish[] = [
    [0.9, () => ({ kind: 'gauge', lot, vessel, ...gauged(dice, there), at })],
    [0.5, () => ({ kind: 'count-bulk', lot, vessel, litres: countedOf(dice, there), at })],
    [1.2, () => transferOf(model, dice, { lot, from: vessel, to, account, at })],
    [isFinished ? 1 : 0.2, () => ({ kind: 'dilute', lot, vessel, water: dice.litres(0.1, there + 1, 3), at })],
    [
      besides.has(composition) ? 0 : 0.5,
      () => ({ kind: 'crop', lot, vessel, litres: dice.litres(0.001, there * 0.1), at }),
    ],
    [1.4, () => bulkMove(model, dice, { lot, vessel, account, at })],
    [2, () => ({ kind: 'add', lot, vessel, added: addedOf(model, dice, lot, there), at })],
    [1.2, () => splitOf(model, dice, { lot, from: vessel, to, account, at })],
    [
      filled.length > 1 ? 1.8 : 0.4,
      () => {
        const owner = ownerOfLot(model.lotOf(composition));
        const second = dice.pick(otherVessels(model, dice, filled, vessel));
        const heel = dice.is(0.4);
        const isAlone = filled.length < 2 || dice.is(0.2);
        const components = [
          { vessel, ...(heel || dice.is(0.4) ? {} : { litres: litresOf(model, dice, account) }) },
          ...(isAlone ? [] : [{ vessel: second, ...(dice.is(0.4) ? {} : { litres: dice.litres(0.01, 60) }) }]),
        ];
        return {
          kind: 'blend',
          lot: lotOfOwner(dice, nearlyAlways(dice, owner)),
          vessel: heel ? vessel : dice.pick(empty.length > 0 ? empty : VESSELS),
          components,
          ...(isAlone ? { wash: { litres: dice.litres(1, 100, 3), plato: dice.pick([8, 12, 20]) } } : {}),
          ...(dice.is(0.3) ? { water: dice.litres(0.1, 50, 2) } : {}),
          at,
        };
      },
    ],
    [isFinished ? 3 : 0.15, () => packOf(dice, there, { lot, vessel, at })],
  ];
  const found = dice.is(isFinished ? 0.5 : 0.05) ? dice.pick(model.compositions) : composition;
  const isOutside = !model.isFinished(found) && (besides.has(usedUp(found)) || model.vesselsOf(found).length === 0);
  if (!besides.has(found) && !isOutside) {
    wishes.push([
      isFinished ? 1.5 : 4,
      () => ({
        kind: 'find',
        standing: dice.is(isFinished ? 0.04 : 0.25) ? 'provisional' : 'of-record',
        lot: model.lotOf(found),
        composition: found,
        strength: strengthOf(model, dice, found),
        at,
      }),
    ]);
  }
  return wishes;
}

/** Near what it was taken for, where that is known; at times far from it. */
function strengthOf(model: Model, dice: Dice, composition: string): string {
  const found = model.foundOf(composition);
  if (found === undefined || dice.is(0.2)) return dice.litres(0.5, 14, 4);
  const now = Math.min(80, percentOf(model, composition, found));
  return dice.litres(Math.max(0.5, now * 0.9), now * 1.1 + 0.5, 4);
}

/** Another vessel, mostly one with liquid of the same owner. */
function otherVessels(model: Model, dice: Dice, filled: readonly string[], vessel: string): readonly string[] {
  const others = filled.filter((each) => each !== vessel);
  const ownerIn = (each: string) => ownerOfLot(model.lotOf(String(model.inVessel(each))));
  const same = others.filter((each) => ownerIn(each) === ownerIn(vessel));
  if (same.length > 0 && dice.is(0.9)) return same;
  return others.length > 0 ? others : VESSELS;
}

/** What a dipped volume may be unsure by: a gain within it is entered as such, and has tests of its own. */
const UNSURE = 0.003;

function packOf(dice: Dice, there: number, step: Omit<Out, 'account'> & { vessel: string }): Pack {
  const nominal = dice.pick(['0.5', '0.5', '0.33', '0.75', '5']);
  const most = Math.max(1, Math.floor(there / Number(nominal)));
  const fill = dice.is(0.25) ? (Number(nominal) * dice.pick([0.994, 1.002, 1.01])).toFixed(6) : undefined;
  const loss = dice.is(0.6) ? dice.pick(['0', '0.25', '1.5']) : undefined;
  let count = dice.is(0.1) ? most + dice.below(3) : dice.is(0.05) ? most * 3 + 50 : 1 + dice.below(most);
  const gain = (): number => count * Number(fill ?? nominal) + Number(loss ?? 0) - there;
  while (count > 0 && gain() > 0 && gain() < UNSURE * there) count -= 1;
  return {
    kind: 'pack',
    ...step,
    count: count === 0 ? most * 3 + 50 : count,
    nominal,
    ...(fill === undefined ? {} : { fill }),
    ...(loss === undefined ? {} : { loss }),
    ...(dice.is(0.25) ? { sugarGramsPerLitre: dice.pick([3, 6, 7.5]) } : {}),
    // What is lost by emptying a vessel may lie within the uncertainty of its gauge, which the model does not hold.
    ...(loss === undefined || dice.is(0.5) ? { reason: true } : {}),
  };
}

/** Near what the books have, or far from it; with a reason or without. */
function gauged(dice: Dice, there: number): Pick<Gauge, 'litres' | 'reason'> {
  const isFar = dice.is(0.15);
  const litres = isFar ? dice.litres(there * 0.5, there * 1.6, 3) : dice.litres(there * 0.95, there * 1.03 + 0.01, 3);
  return { litres, ...(dice.is(isFar ? 0.5 : 0.2) ? { reason: true } : {}) };
}

/** As the books have it, near it, or nothing. */
const countedOf = (dice: Dice, there: number): string =>
  dice.is(0.05) ? '0' : dice.litres(there * 0.97, there * 1.02, 3);

interface Out {
  readonly lot: string;
  readonly account: string;
  readonly at: number;
}

function transferOf(model: Model, dice: Dice, { account, ...step }: Out & { from: string; to: string }): Transfer {
  const litres = litresOf(model, dice, account);
  const loss = dice.is(0.7) ? '0' : (Number(litres) / 10).toFixed(6);
  return { kind: 'transfer', ...step, litres, loss };
}

function splitOf(model: Model, dice: Dice, { account, ...step }: Out & { from: string; to: string }): Step {
  const newLot = lotOfOwner(dice, nearlyAlways(dice, ownerOfLot(step.lot)), step.lot);
  return { kind: 'split', ...step, newLot, ...(dice.is(0.2) ? {} : { litres: litresOf(model, dice, account) }) };
}

function bulkMove(model: Model, dice: Dice, { account, ...step }: Out & { vessel: string }): MoveBulk {
  const way = dice.is(0.15) ? 'own-use' : dice.pick(BULK_MOVES);
  return { kind: 'move-bulk', ...step, way, litres: litresOf(model, dice, account) };
}

function addedOf(model: Model, dice: Dice, lot: string, there: number): Added {
  const owner = nearlyAlways(dice, ownerOfLot(lot));
  const what = dice.pick(['chase-water', 'syrup', 'alcohol', 'alcohol', 'sugar', 'fining'] as const);
  if (what === 'sugar')
    return { what, owner, kilograms: Math.max(0.000001, there * dice.pick([0.005, 0.02])).toFixed(6) };
  if (what === 'fining')
    return { what, owner, kilograms: Math.max(0.000001, there * dice.pick([0.0001, 0.003])).toFixed(6) };
  if (what === 'alcohol' && model.materials.length > 0) {
    const name = dice.pick(ofOwner(model, model.materials, owner));
    return { what, material: name, litres: litresOf(model, dice, material(name)) };
  }
  const litres = dice.litres(0.01, there * 0.3 + 0.02);
  return what === 'syrup' ? { what, owner, litres, plato: dice.pick([30, 60]) } : { what: 'chase-water', litres };
}
