import type { Model } from './model.js';
import { PACKED_MOVES } from './step.js';
import type { Dice, Wish } from './dice.js';
import { lotOfOwner, nearlyAlways, ownerOfAccount } from './owners.js';
import { gone, packed, VESSELS } from './words.js';
import type { Duty, Site } from './words.js';

const PLACES: readonly (readonly [Site, Duty])[] = [
  ['here', 'suspended'],
  ['here', 'paid'],
  ['there', 'suspended'],
  ['there', 'paid'],
];

const COMING_BACK = ['release', 'dispatch-suspended', 'export'] as const;

/** Of what was filled: out, back, counted, filled again, emptied, on the way. */
export function packedSteps(model: Model, dice: Dice, at: number): Wish[] {
  if (model.packagedLots.length === 0) return [];
  const packaged = dice.pick(model.packagedLots);
  const nominal = model.nominal(packaged, 1);
  const held = (site: Site, duty: Duty): number =>
    Math.floor(
      model
        .balance(packed(packaged, site, duty))
        .litres.dividedBy(nominal)
        .toNumber(),
    );
  const standing = PLACES.filter(([site, duty]) => held(site, duty) > 0);
  const [site, duty] = standing.length > 0 && dice.is(0.95) ? dice.pick(standing) : dice.pick(PLACES);
  const some = (most: number): number => Math.max(1, dice.below(dice.is(0.1) ? most + 3 : most * 0.6));
  const here = held('here', 'suspended');
  const there = held(site, duty);
  const out = model.balance(gone(packaged)).litres.dividedBy(nominal).toNumber();
  const empty = VESSELS.filter((each) => model.inVessel(each) === undefined);
  const partFull = (): { litres?: string } => (dice.is(0.12) ? { litres: dice.litres(0.001, 3) } : {});
  const way = dice.is(0.5) ? dice.pick(COMING_BACK) : dice.pick(PACKED_MOVES);
  const wishes: Wish[] = [
    [2.5, () => ({ kind: 'move-packed', way, packaged, count: some(there), ...partFull(), site, duty, at })],
    [
      out > 0 ? 2.5 : 0.15,
      () => {
        const [backTo, status] = dice.pick(PLACES);
        return {
          kind: 'return',
          packaged,
          count: some(Math.max(1, out)),
          ...partFull(),
          site: backTo,
          duty: status,
          at,
        };
      },
    ],
    [
      1,
      () => ({
        kind: 'count',
        packaged,
        count: Math.max(0, there + dice.pick([-3, -1, 0, 0, 1])),
        site,
        duty,
        at,
      }),
    ],
    [
      0.8,
      () => {
        const count = some(here);
        const into = dice.pick(['0.5', '0.33', '1.5']);
        const most = nominal.times(count).dividedBy(into).floor().toNumber();
        return { kind: 'repack', packaged, count, nominal: into, filled: Math.max(1, most - dice.below(3)), at };
      },
    ],
    [0.6, () => ({ kind: 'relabel', packaged, count: some(here), ...(dice.is(0.5) ? { category: 'cider' } : {}), at })],
    [
      0.8,
      () => ({
        kind: 'rework',
        packaged,
        count: some(here),
        lot: lotOfOwner(dice, nearlyAlways(dice, ownerOfAccount(model, packed(packaged)))),
        vessel: dice.pick(empty.length > 0 && dice.is(0.9) ? empty : VESSELS),
        loss: dice.pick(['0', '0', '0.05', '0.3']),
        at,
      }),
    ],
    [
      1,
      () => {
        const from = dice.is(0.85) ? 'here' : 'there';
        const status = held(from, 'paid') > 0 && dice.is(0.6) ? 'paid' : dice.is(0.05) ? 'paid' : 'suspended';
        return {
          kind: 'send',
          packaged,
          count: some(held(from, status)),
          duty: status,
          from,
          to: from === 'here' ? 'there' : 'here',
          at,
        };
      },
    ],
  ];
  const { transits } = model;
  if (transits.length > 0) {
    wishes.push([
      1.6,
      () => {
        const transit = dice.pick(transits);
        const { count: sent, serials } = model.transit(transit);
        if (serials !== undefined && dice.is(0.9)) {
          const arrived = serials.filter(() => dice.is(0.8));
          const named = arrived.length === 0 ? {} : { serials: arrived };
          return { kind: 'arrive', transit, count: arrived.length, ...named, at };
        }
        return { kind: 'arrive', transit, count: dice.pick([sent, sent, Math.floor(sent / 2), 0, sent + 1]), at };
      },
    ]);
  }
  return wishes;
}
