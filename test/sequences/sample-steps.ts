import type { Dice, Wish } from './dice.js';
import type { Model } from './model.js';
import { dayOf, daysToSum } from './samples.js';
import { LOTS } from './owners.js';
import { VESSELS } from './words.js';

/** Readings, several of a day at times; one struck at times; and the sums of days. */
export function sampleSteps(model: Model, dice: Dice, at: number, now: number): Wish[] {
  const filled = VESSELS.filter((each) => model.inVessel(each) !== undefined);
  const { all } = model.readings;
  const wishes: Wish[] = [
    [
      filled.length > 0 ? 1.2 : 0.1,
      () => {
        const vessel = dice.pick(filled.length > 0 && dice.is(0.95) ? filled : VESSELS);
        const composition = model.inVessel(vessel);
        const lot = composition === undefined || dice.is(0.05) ? dice.pick(LOTS) : model.lotOf(composition);
        const [last] = all.slice(-1);
        const sameDay = last !== undefined && dice.is(0.3);
        const hour = sameDay ? dayOf(last.at) * 24 + dice.below(24) : dice.is(0.8) ? now : at;
        return { kind: 'read', what: dice.is(0.9) ? 'ph' : 'temperature', lot, vessel, at: hour };
      },
    ],
  ];
  if (all.length > 0) {
    const days = daysToSum(model);
    wishes.push(
      [0.15, () => ({ kind: 'strike', reading: dice.pick(all).name })],
      [
        days.length > 0 ? 2 : 0.15,
        () => {
          const [some, latest] = [days.length > 0 && dice.is(0.93), days.at(-1) ?? 0];
          const day = some ? (dice.is(0.6) ? latest : dice.pick(days)) : dayOf(dice.pick(all).at);
          return { kind: 'sample-day', day: dice.is(0.98) ? day : dice.below(50) };
        },
      ],
    );
  }
  return wishes;
}
