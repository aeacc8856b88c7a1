import type { Happened } from './containers.js';
import type { Dice, Wish } from './dice.js';
import type { Model } from './model.js';
import { lotOfOwner, nearlyAlways, ownerOfAccount } from './owners.js';
import { PACKED_MOVES } from './step.js';
import { gone, liquid, packed, VESSELS } from './words.js';
import type { Duty, Site } from './words.js';

const SERIALS = ['K-1', 'K-2', 'K-3', 'K-4', 'K-5', 'K-6'];
const PLACES: readonly (readonly [Site, Duty])[] = [
  ['here', 'suspended'],
  ['here', 'paid'],
  ['there', 'suspended'],
];
const OUT = ['release', 'release', 'dispatch-suspended', 'export'] as const;

/** Of kegs by serial: filled, out, back full or part full, empty, filled again; at times one that cannot have done that. */
export function kegSteps(model: Model, dice: Dice, at: number): Wish[] {
  const now = model.containers();
  const where = (...events: readonly Happened['event'][]): Happened[] =>
    [...now.values()].filter(({ event }) => events.includes(event));
  const [full, out] = [where('filled', 'back', 'part-drawn', 'arrived', 'found'), where('out')];
  const free = SERIALS.filter((serial) => !full.concat(out).some((each) => each.serial === serial));
  const lately = (them: readonly Happened[]): number =>
    dice.is(0.88) ? Math.max(at, ...them.map((each) => each.at + 1)) : at;
  return [
    ...filling(model, dice, free, at),
    ...(full.length > 0 ? leaving(model, dice, full, lately) : []),
    ...(out.length > 0 ? comingBack(model, dice, out, lately) : []),
    ...(full.length > 0 ? counting(dice, full, lately) : []),
    [
      out.length > 0 ? 2.2 : 0.15,
      () => {
        const serials = some(dice, dice.is(0.85) ? out.map(({ serial }) => serial) : SERIALS);
        return { kind: 'empties', serials, site: dice.is(0.85) ? 'here' : 'there', at: lately(out) };
      },
    ],
  ];
}

/** One or two of them. */
function some(dice: Dice, serials: readonly string[]): string[] {
  const from = serials.length === 0 ? SERIALS : serials;
  return [...new Set([dice.pick(from), dice.pick(from)])];
}

function filling(model: Model, dice: Dice, free: readonly string[], at: number): Wish[] {
  const finished = VESSELS.filter((each) => {
    const composition = model.inVessel(each);
    return composition !== undefined && model.isFinished(composition);
  });
  if (finished.length === 0) return [];
  return [
    [
      free.length > 0 ? 4 : 0.6,
      () => {
        const vessel = dice.pick(finished);
        const composition = String(model.inVessel(vessel));
        const there = model.balance(liquid(composition, vessel)).litres;
        const serials = some(dice, free.length > 0 && dice.is(0.9) ? free : SERIALS);
        const nominal = there.greaterThan(100) ? '19' : '5';
        // Some is left, so that no gain lies within what the gauge is unsure by.
        const isShort = there.lessThan(d1(nominal, serials.length));
        return {
          kind: 'pack',
          lot: model.lotOf(composition),
          vessel,
          count: serials.length,
          nominal: isShort ? '0.5' : nominal,
          loss: '0',
          serials,
          at,
        };
      },
    ],
  ];
}

const d1 = (nominal: string, count: number): number => Number(nominal) * count * 1.1;

type Lately = (them: readonly Happened[]) => number;

function leaving(model: Model, dice: Dice, full: readonly Happened[], lately: Lately): Wish[] {
  const one = dice.pick(full);
  const alike = full.filter(
    ({ packaged, litres, site, duty }) =>
      packaged === one.packaged && site === one.site && duty === one.duty && litres?.equals(one.litres ?? 0),
  );
  const packaged = String(one.packaged);
  const isPart = !model.nominal(packaged, 1).equals(one.litres ?? 0);
  const own = [one.site, one.duty ?? 'suspended'] as const;
  const [site, duty] = dice.is(0.9) ? own : dice.pick(PLACES);
  const measured = isPart ? dice.is(0.8) : dice.is(0.15);
  const most = measured ? String(one.litres) : undefined;
  const litres = measured && dice.is(0.15) ? dice.litres(0.1, Number(most) * 1.5) : most;
  const chosen = measured ? [one] : alike;
  const serials = (): string[] =>
    measured ? [one.serial] : some(dice, dice.is(0.92) ? chosen.map(({ serial }) => serial) : SERIALS);
  return [
    [
      5,
      () => {
        const which = serials();
        return {
          kind: 'move-packed',
          packaged,
          way: dice.is(0.65) ? dice.pick(OUT) : dice.pick(PACKED_MOVES),
          count: which.length,
          serials: which,
          ...(litres === undefined ? {} : { litres }),
          site,
          duty,
          at: lately(chosen),
        };
      },
    ],
    [
      0.6,
      () => {
        const which = serials();
        const empty = VESSELS.filter((each) => model.inVessel(each) === undefined);
        return {
          kind: 'rework',
          packaged,
          count: which.length,
          serials: which,
          ...(litres === undefined ? {} : { litres }),
          lot: lotOfOwner(dice, nearlyAlways(dice, ownerOfAccount(model, packed(packaged)))),
          vessel: dice.pick(empty.length > 0 ? empty : VESSELS),
          loss: '0',
          at: lately(chosen),
        };
      },
    ],
  ];
}

/** Kegs counted by serial, at times one fewer or one more than there are, and kegs sent to the other premises. */
function counting(dice: Dice, full: readonly Happened[], lately: Lately): Wish[] {
  const one = dice.pick(full);
  const packaged = String(one.packaged);
  const duty = one.duty ?? 'suspended';
  const alike = full.filter((each) => each.packaged === packaged && each.site === one.site && each.duty === one.duty);
  return [
    [
      0.8,
      () => {
        const there = alike.map(({ serial }) => serial).filter(() => dice.is(0.85));
        const serials = dice.is(0.15) ? [...new Set([...there, dice.pick(SERIALS)])] : there;
        const named = serials.length === 0 ? {} : { serials };
        return { kind: 'count', packaged, count: serials.length, ...named, site: one.site, duty, at: lately(alike) };
      },
    ],
    [
      1,
      () => {
        const serials = some(
          dice,
          alike.map(({ serial }) => serial),
        );
        const to = one.site === 'here' ? 'there' : 'here';
        return { kind: 'send', packaged, count: serials.length, serials, duty, from: one.site, to, at: lately(alike) };
      },
    ],
  ];
}

function comingBack(model: Model, dice: Dice, out: readonly Happened[], lately: Lately): Wish[] {
  const one = dice.pick(out);
  const packaged = String(one.packaged);
  const own = out.filter((each) => each.packaged === packaged);
  const left = model.balance(gone(packaged)).litres.toNumber();
  const went = Number(one.litres);
  return [
    [
      left > 0 ? 5 : 0.3,
      () => {
        const [site, duty] = dice.is(0.8) ? PLACES[0] : dice.pick(PLACES);
        const isPart = dice.is(0.6) || !model.nominal(packaged, 1).equals(went);
        const which = isPart ? [one.serial] : some(dice, dice.is(0.9) ? own.map(({ serial }) => serial) : SERIALS);
        const litres = dice.is(0.2) ? String(went) : dice.litres(0.1, went * (dice.is(0.2) ? 1.3 : 0.9));
        return {
          kind: 'return',
          packaged,
          count: which.length,
          serials: which,
          ...(isPart ? { litres } : {}),
          site,
          duty,
          at: lately(own),
        };
      },
    ],
  ];
}
