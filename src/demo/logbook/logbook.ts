import { Floor } from '../client/floor.js';
import type { Entry, World } from '../client/world.js';
import { fromSpirit } from './from-spirit.js';
import { houseFerment } from './house-ferment.js';
import { overTheFirstMonth, overTheSecondMonth } from './over-the-month.js';
import type { ClosedPeriod } from './periods.js';
import { periodEnds } from './periods.js';
import { openPremises } from './premises.js';
import { strongFerment } from './strong-ferment.js';

export interface Logbook {
  /** In the order in which it happened. */
  readonly entries: readonly Entry[];
  /** Filled while the entries run. */
  readonly closed: readonly ClosedPeriod[];
}

/** Two months of an invented producer, from the plan to the report. The second month stays open unless it is to be closed as well. */
export function logbook(world: World, { closeSecond }: { readonly closeSecond: boolean }): Logbook {
  const floor = new Floor(world);
  const closed: ClosedPeriod[] = [];
  const ends = periodEnds(world, closed);
  const entries = [
    ...openPremises(world),
    ...houseFerment(world, floor),
    ...strongFerment(world, floor),
    ...fromSpirit(world, floor),
    ...overTheFirstMonth(world, floor),
    ...overTheSecondMonth(world, floor),
    ...ends.first,
    ends.look,
    ...(closeSecond ? [ends.close] : []),
  ];
  // Stable, so that what happens at one moment keeps its order.
  return { entries: entries.toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at)), closed };
}
