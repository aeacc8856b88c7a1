import type { Dice, Wish } from './dice.js';
import type { Model } from './model.js';
import { LOTS, ownerOfLot } from './owners.js';
import { BULK_MOVES } from './step.js';
import { categoryOf, FAR_LOTS, FAR_VESSELS, liquid, siteOfVessel, VESSELS } from './words.js';

const ALL_VESSELS = [...VESSELS, ...FAR_VESSELS];

/** Of what goes in bulk between the premises, and of what stands at the other ones. */
export function waySteps(model: Model, dice: Dice, at: number): Wish[] {
  return [...sending(model, dice, at), ...arriving(model, dice, at), ...farSteps(model, dice, at)];
}

const some = (dice: Dice, there: number): string => dice.litres(0.001, there * (dice.is(0.1) ? 1.6 : 0.7));

function sending(model: Model, dice: Dice, at: number): Wish[] {
  const filled = ALL_VESSELS.filter((each) => model.inVessel(each) !== undefined);
  const finished = filled.filter((each) => model.isFinished(String(model.inVessel(each))));
  if (filled.length === 0) return [];
  return [
    [
      finished.length > 0 ? 2 : 0.2,
      () => {
        const vessel = dice.pick(finished.length > 0 && dice.is(0.95) ? finished : filled);
        const composition = String(model.inVessel(vessel));
        const there = model.balance(liquid(composition, vessel)).litres;
        const isThere = siteOfVessel(vessel) === 'there';
        return {
          kind: 'send-bulk',
          lot: dice.is(0.96) ? model.lotOf(composition) : dice.pick(LOTS),
          vessel,
          to: isThere === dice.is(0.95) ? 'here' : 'there',
          litres: dice.is(0.2) ? there.toFixed() : some(dice, there.toNumber()),
          at,
        };
      },
    ],
  ];
}

function arriving(model: Model, dice: Dice, at: number): Wish[] {
  const names = [...model.consignments.keys()];
  if (names.length === 0) return [];
  const isDue = (name: string): boolean =>
    !model.isReversed(name) && model.consignment(name).arrivals.every((each) => model.isReversed(each));
  const due = names.filter(isDue);
  return [
    [
      due.length > 0 ? 4 : 0.4,
      () => {
        const transit = dice.pick(due.length > 0 && dice.is(0.93) ? due : names);
        const { to, at: sentAt, composition } = model.consignment(transit);
        const [vessels, lots] = to === 'there' ? [FAR_VESSELS, FAR_LOTS] : [VESSELS, LOTS];
        const empty = vessels.filter((each) => model.inVessel(each) === undefined);
        const of = model.lotOf(composition);
        const alike = lots.filter((each) => categoryOf(each) === categoryOf(of) && ownerOfLot(each) === ownerOfLot(of));
        const sent = model.sentIn(transit);
        const late = dice.is(0.9) ? Math.max(at, sentAt + 1) : at;
        return {
          kind: 'arrive-bulk',
          transit,
          lot: dice.is(0.92) ? dice.pick(alike) : dice.pick([...LOTS, ...FAR_LOTS]),
          vessel: dice.is(0.88) ? dice.pick(empty.length > 0 ? empty : vessels) : dice.pick(ALL_VESSELS),
          litres: dice.pick([sent.toFixed(), sent.toFixed(), some(dice, sent.toNumber()), '0']),
          at: late,
        };
      },
    ],
  ];
}

/** What stands at the other premises is measured, moved on and lost like what stands here. */
function farSteps(model: Model, dice: Dice, at: number): Wish[] {
  const filled = FAR_VESSELS.filter((each) => model.inVessel(each) !== undefined);
  if (filled.length === 0) return [];
  const vessel = dice.pick(filled);
  const composition = String(model.inVessel(vessel));
  const lot = model.lotOf(composition);
  const there = model.balance(liquid(composition, vessel)).litres.toNumber();
  const to = dice.pick(ALL_VESSELS.filter((each) => each !== vessel && (dice.is(0.1) || FAR_VESSELS.includes(each))));
  return [
    [0.5, () => ({ kind: 'gauge', lot, vessel, litres: dice.litres(there * 0.95, there * 1.03 + 0.01, 3), at })],
    [0.5, () => ({ kind: 'count-bulk', lot, vessel, litres: dice.litres(there * 0.97, there * 1.02, 3), at })],
    [0.8, () => ({ kind: 'move-bulk', lot, vessel, way: dice.pick(BULK_MOVES), litres: some(dice, there), at })],
    [
      to === undefined ? 0 : 0.6,
      () => ({ kind: 'transfer', lot, from: vessel, to, litres: some(dice, there), loss: '0', at }),
    ],
  ];
}
