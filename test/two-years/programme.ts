import type { Incident } from './stories/incidents.js';
import {
  calibration,
  earlierCorrection,
  heel,
  hose,
  laboratory,
  mischarged,
  misgauged,
  partFull,
  relabelling,
  repacking,
  reversedReversal,
  rework,
  spoiled,
  theft,
} from './stories/incidents.js';
import type { LotStory } from './stories/lots.js';
import { guestKegs, shortArrival } from './stories/others.js';
import { ale, blend, blendOfBlends, conditioned, flavoured, house, mixed, split, strong } from './stories/lots.js';
import { NIL_MONTH } from './context.js';
import { served } from './stories/second.js';

/** What is begun on a day of a month. */
export interface Begun<T> {
  readonly day: number;
  readonly story: T;
}

/** Every month has these. */
const EVERY_MONTH: readonly Begun<LotStory>[] = [
  { day: 2, story: house },
  { day: 5, story: ale },
  { day: 8, story: flavoured },
  { day: 11, story: mixed },
  { day: 17, story: conditioned },
  { day: 20, story: strong },
  { day: 23, story: split },
];

/** Lots of single months, counted from zero. */
const LOTS: Readonly<Record<number, readonly Begun<LotStory>[]>> = {
  0: [{ day: 20, story: mischarged }],
  1: [{ day: 3, story: misgauged }],
  9: [{ day: 4, story: heel }],
  12: [{ day: 7, story: spoiled }],
  14: [{ day: 20, story: mischarged }],
  18: [{ day: 3, story: misgauged }],
};

const INCIDENTS: readonly (readonly [incident: Incident, months: readonly number[]])[] = [
  [laboratory, [1, 4, 7, 10, 13, 16, 19, 22]],
  [earlierCorrection, [1, 5, 11, 19]],
  [reversedReversal, [8]],
  [theft, [15]],
  [repacking, [3, 9, 16]],
  [relabelling, [5, 13]],
  [rework, [7, 17]],
  [partFull, [6, 18]],
  [guestKegs, [4, 15]],
  [shortArrival, [5, 8]],
  [hose, [2, 13, 20]],
  [calibration, [10]],
];

/** The small ferment of the second premises is drunk before the month in which nothing happens there begins. */
const servedIn = (month: number): boolean => ![NIL_MONTH - 2, NIL_MONTH - 1, NIL_MONTH].includes(month);

export function lotsOf(month: number): readonly Begun<LotStory>[] {
  return [
    ...EVERY_MONTH,
    { day: 4, story: month % 3 === 1 ? blendOfBlends : blend },
    ...(servedIn(month) ? [{ day: 3, story: served }] : []),
    ...(LOTS[month] ?? []),
  ];
}

export const incidentsOf = (month: number): readonly Incident[] =>
  INCIDENTS.filter(([, months]) => months.includes(month)).map(([incident]) => incident);
